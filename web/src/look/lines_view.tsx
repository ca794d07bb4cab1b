// The landing lines, drawn: a row for each table, its plates' strands, the knot at its minute, the line of now.

import type { VNode } from 'preact';

import { useSize } from './measure.ts';
import { along, drawn, type Axis, type Line, type Strand } from './lines.ts';
import { clock } from './shown.ts';

export interface LinesProps {
  readonly lines: readonly Line[];
  readonly now_s: number;
  /** Pixels of a millimetre as drawn; height of a row and size of a word in pixels. */
  readonly u: number;
  readonly row_px: number;
  readonly word_px: number;
  readonly label: string;
  readonly none: string;
  /** Minutes shown, ahead and behind. */
  readonly ahead_min: number;
  readonly behind_min?: number;
}

const LETTER = 0.5;

export function Lines(props: LinesProps): VNode {
  const [ref, [width, height]] = useSize<HTMLDivElement>();
  const rows = Math.max(1, Math.floor(height / props.row_px));
  return (
    <div class="lines" ref={ref}>
      {props.lines.length === 0 && <p class="word hush">{props.none}</p>}
      {width > 0 && props.lines.length > 0 && (
        <Drawing {...props} width={width} height={height} lines={props.lines.slice(0, rows)} />
      )}
    </div>
  );
}

function Drawing({
  lines,
  now_s,
  u,
  row_px,
  word_px,
  label,
  ahead_min,
  behind_min = 1,
  width,
  height,
}: LinesProps & { width: number; height: number }): VNode {
  const left = Math.max(2, ...lines.map((line) => line.table.length)) * LETTER * word_px + u;
  const right = 3 * LETTER * word_px;
  const axis: Axis = {
    from_s: now_s - behind_min * 60,
    until_s: now_s + ahead_min * 60,
    width: width - left - right,
  };
  const now = left + along(axis, now_s);
  return (
    <svg role="img" aria-label={label} width={width} height={height} viewBox={`0 0 ${width} ${height}`}>
      <line class="now" x1={now} y1={0} x2={now} y2={lines.length * row_px} />
      {lines.map((line, i) => (
        <g
          key={line.key}
          class={`line ${line.slip.replace(' ', '-')}`}
          style={{ transform: `translate(0px, ${((i + 0.5) * row_px).toFixed(1)}px)` }}
        >
          <text class="name" x={0} y={word_px * 0.35}>
            {line.table}
          </text>
          <g transform={`translate(${left} 0)`}>
            <Row line={line} axis={axis} u={u} word_px={word_px} row_px={row_px} />
          </g>
          <text class="minute" x={width} y={word_px * 0.35}>
            {clock(line.lands_s).replace(/^\d+/, '')}
          </text>
        </g>
      ))}
    </svg>
  );
}

function Row({
  line,
  axis,
  u,
  word_px,
  row_px,
}: {
  line: Line;
  axis: Axis;
  u: number;
  word_px: number;
  row_px: number;
}): VNode {
  const pitch = Math.min(2.4 * u, (row_px - 3 * u) / Math.max(1, line.strands.length));
  const within = line.lands_s <= axis.until_s;
  const knot = along(axis, Math.max(axis.from_s, line.lands_s));
  const told = along(axis, Math.min(axis.until_s, Math.max(axis.from_s, line.told_s)));
  return (
    <>
      {line.strands.map((strand) => (
        <StrandView key={strand.item} strand={strand} axis={axis} knot_s={line.lands_s} pitch={pitch} />
      ))}
      {within && line.slip !== 'as told' && (
        <path class="slip" d={`M${told} ${-3 * u}V${3 * u}M${told} 0H${knot}`} />
      )}
      {within && <Knot slip={line.slip} x={knot} u={u} />}
      {within && line.slip !== 'as told' && (
        <Slipped
          line={line}
          left={knot - 4 * u}
          right={knot + 4.5 * u}
          until={axis.width - u}
          word_px={word_px}
        />
      )}
    </>
  );
}

/** How many minutes off, after the knot, or before it where there is no room. */
function Slipped({
  line,
  left,
  right,
  until,
  word_px,
}: {
  line: Line;
  left: number;
  right: number;
  until: number;
  word_px: number;
}): VNode {
  const text = `${line.slip === 'late' ? '+' : '−'}${Math.round(Math.abs(line.slip_s) / 60)}`;
  const fits = right + text.length * LETTER * word_px <= until;
  return (
    <text class="slipped" x={fits ? right : left} y={word_px * 0.35} text-anchor={fits ? 'start' : 'end'}>
      {text}
    </text>
  );
}

function StrandView({
  strand,
  axis,
  knot_s,
  pitch,
}: {
  strand: Strand;
  axis: Axis;
  knot_s: number;
  pitch: number;
}): VNode {
  const paths = drawn(strand, axis, Math.min(knot_s, axis.until_s), pitch);
  return (
    <>
      <path class="waiting" d={paths.waiting} />
      <path class="resting" d={paths.resting} />
      <path class="hot" d={paths.hot} />
    </>
  );
}

/** Where plates meet: a full round as told, an open triangle on for late, an open one back for early. */
export function Knot({ slip, x, u }: { slip: Line['slip']; x: number; u: number }): VNode {
  if (slip === 'as told') return <circle class="knot" cx={x} r={2.3 * u} />;
  const d = slip === 'late' ? 1 : -1;
  return (
    <path
      class="knot open"
      d={`M${x - d * 2.4 * u} ${-3 * u}L${x + d * 3.2 * u} 0L${x - d * 2.4 * u} ${3 * u}Z`}
    />
  );
}
