// The strip of the oven's hours, drawn in millimetres of the glass.

import type { VNode } from 'preact';
import { useMemo } from 'preact/hooks';

import type { Model } from '../../core/model.ts';
import { useSize } from '../../look/measure.ts';
import { clock, degrees, temperature } from '../../look/shown.ts';
import type { KeptDay } from '../../wire.ts';
import { useRoom } from '../tickets/desk.tsx';
import { w } from '../tickets/words.ts';
import { placeOf, stripOf, type Strip } from './strip.ts';

const PLAIN = { high: 34, letter: 4.6 };
const HAND = { high: 30, letter: 4 };
const LEFT = 2.6; // letters' sizes for the degrees
const TOP = 1.6; // and for the word of now
const WIDE = 100; // until it is measured

export function StripView({ model, kept, now_s }: { model: Model; kept: KeptDay; now_s: number }): VNode | null {
  const hand = useRoom(model) === 'hand';
  const [ref, [width]] = useSize<HTMLElement>();
  const { high, letter } = hand ? HAND : PLAIN;
  const whole = width === 0 ? WIDE : width / model.settings.px_per_mm;
  const wide = whole - letter * (LEFT + 0.6);
  const unit = model.settings.temperature;
  const strip = useMemo(() => stripOf(kept, { wide, high, letter }, unit), [kept, wide, high, letter, unit]);
  if (strip === null) return null;
  const box = `${-letter * LEFT} ${-letter * TOP} ${whole} ${strip.high + letter * (TOP + 0.2)}`;
  return (
    <figure class="day-strip" ref={ref}>
      <svg viewBox={box} role="img" aria-label={w(model, 'day.picture')} style={{ fontSize: `${letter}px` }}>
        <Band strip={strip} wide={wide} />
        <Now place={placeOf(strip, wide, now_s)} strip={strip} words={clock(now_s)} letter={letter} wide={wide} />
        <Stone strip={strip} wide={wide} high={kept.curve === null ? 0 : high} letter={letter} />
        {strip.bars.map((bar, n) => (
          <g key={n} class={bar.out_s <= now_s ? 'load past' : 'load'}>
            <rect x={bar.x} y={bar.y} width={bar.wide} height={strip.bar_high} rx="0.8" />
            <text x={bar.words_x} y={bar.y + strip.bar_high / 2 + letter * 0.34} text-anchor={bar.anchor} class={bar.within ? 'within' : undefined}>{bar.words}</text>
          </g>
        ))}
      </svg>
      {kept.curve !== null && (
        <figcaption class="hush">
          <small>{w(model, 'day.foreseen', { low: degrees(kept.curve.band_low_C, unit), high: temperature(kept.curve.band_high_C, unit) })}</small>
        </figcaption>
      )}
    </figure>
  );
}

function Band({ strip: { band }, wide }: { strip: Strip; wide: number }): VNode | null {
  if (band === null) return null;
  return (
    <>
      <rect class="band" x="0" y={band.y} width={wide} height={band.high} />
      <path class="edge" d={`M0 ${band.y}H${wide}M0 ${band.y + band.high}H${wide}`} />
    </>
  );
}

function Stone({ strip, wide, high, letter }: { strip: Strip; wide: number; high: number; letter: number }): VNode {
  return (
    <>
      {strip.degrees.map((one) => (
        <g key={one.words}>
          <path class="tick" d={`M0 ${one.at}h${letter * 0.35}`} />
          <text class="axis" x={-letter * 0.3} y={one.at + letter * 0.34} text-anchor="end">{one.words}</text>
        </g>
      ))}
      <path class="axis-line" d={`M0 ${high}H${wide}`} />
      {strip.hours.map((one) => (
        <g key={one.words}>
          <path class="tick" d={`M${one.at} ${high}v${letter * 0.3}`} />
          <text class="axis" x={one.at} y={high + letter * 1.2} text-anchor={one.at < letter ? 'start' : one.at > wide - letter ? 'end' : 'middle'}>{one.words}</text>
        </g>
      ))}
      {strip.curve !== '' && <path class="foreseen" d={strip.curve} />}
    </>
  );
}

function Now({ place, strip, words, letter, wide }: { place: number | null; strip: Strip; words: string; letter: number; wide: number }): VNode | null {
  if (place === null) return null;
  const anchor = place < letter * 2 ? 'start' : place > wide - letter * 2 ? 'end' : 'middle';
  return (
    <>
      <path class="now" d={`M${place} ${-letter * 0.35}V${strip.high}`} />
      <text class="now-word" x={place} y={-letter * 0.6} text-anchor={anchor}>{words}</text>
    </>
  );
}
