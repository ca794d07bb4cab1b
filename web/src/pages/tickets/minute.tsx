// Which minute a table is told: the quote first, then a quarter hour, twenty minutes, half an hour from now.

import type { VNode } from 'preact';
import { useEffect, useState } from 'preact/hooks';

import { AskFailed } from '../../core/api.ts';
import type { Doings, Model } from '../../core/model.ts';
import { clock, minutes } from '../../look/shown.ts';
import type { Minute, Quoted } from '../../wire.ts';
import { Key } from './keys.tsx';
import { w } from './words.ts';

export interface Asked {
  readonly covers: number;
  readonly plates: readonly { readonly dish: string; readonly allergy: readonly string[] }[];
}

type Quoting = { readonly state: 'asking' } | { readonly state: 'none'; readonly words: string } | ({ readonly state: 'told' } & Quoted);

export const LATER_MIN = [15, 20, 30] as const;

interface Props {
  readonly model: Model;
  readonly doings: Doings;
  readonly asked: Asked;
  /** One tap: the minute that is accepted. */
  readonly accept: (wanted_s: number) => void;
}

export function MinuteChoice({ model, doings, asked, accept }: Props): VNode {
  const quoting = useQuote(doings, asked);
  return (
    <div class="tk-minutes">
      {quoting.state === 'told' ? <Told model={model} quotes={quoting} accept={accept} /> : (
        <p role="status">
          {quoting.state === 'asking' ? w(model, 'tk.asking') : w(model, 'tk.no_quote', { words: quoting.words })}
        </p>
      )}
      <div class="keys">
        {LATER_MIN.map((later) => {
          const wanted_s = wholeMinute(model.now_s + 60 * later);
          return (
            <Key key={later} act id={`later-${later}`} onTap={() => { accept(wanted_s); }}>
              <b>+{later}</b><small>{clock(wanted_s)}</small>
            </Key>
          );
        })}
      </div>
    </div>
  );
}

function Told({ model, quotes, accept }: { model: Model; quotes: Quoted; accept: (s: number) => void }): VNode {
  const kinds = quotes.soonest.minute_s === quotes.polite.minute_s && quotes.soonest.slips.length === 0
    ? (['soonest'] as const) : (['soonest', 'polite'] as const);
  return (
    <div class="tk-quotes">
      {kinds.map((kind) => {
        const one = quotes[kind];
        return (
          <div class="tk-quote" key={kind}>
            <Key act id={`quote-${kind}`} onTap={() => { accept(one.minute_s); }}>
              <b>{clock(one.minute_s)}</b><small>{w(model, `tk.quote.${kind}`)}</small>
            </Key>
            <p>{quoteWords(model, one)}</p>
          </div>
        );
      })}
    </div>
  );
}

function quoteWords(model: Model, one: Minute): string {
  const said = [w(model, 'tk.holds', { n: Math.floor(one.share * 10) })];
  if (one.drops > 1) said.push(w(model, 'tk.in_drops', { n: one.drops }));
  const slips = one.slips.filter((slip) => minutes(slip.is_s - slip.was_s) > 0);
  said.push(slips.length === 0 ? w(model, 'tk.nobody_waits') : w(model, 'tk.they_wait', {
    who: slips.map((slip) => `${slip.table} ${w(model, 'tk.min', { n: minutes(slip.is_s - slip.was_s) })}`).join(', '),
  }));
  return said.join(' ');
}

const AGAIN_S = 3; // until a planner that is not ready is asked again, unless it says how long; own choice

/** Asks for these plates, and again while the planner is not ready; an answer to plates that have changed is dropped. */
function useQuote(doings: Doings, asked: Asked): Quoting {
  const [quoting, setQuoting] = useState<Quoting>({ state: 'asking' });
  const body = JSON.stringify(asked);
  useEffect(() => {
    let still = true;
    let timer: ReturnType<typeof setTimeout> | undefined;
    const ask = (): void => {
      doings.ask<Quoted>('/api/quotes', JSON.parse(body)).then(
        (quotes) => { if (still) setQuoting({ state: 'told', ...quotes }); },
        (err: unknown) => {
          if (!still) return;
          setQuoting({ state: 'none', words: err instanceof Error ? err.message : String(err) });
          if (err instanceof AskFailed && err.status === 503) timer = setTimeout(ask, 1000 * (err.wait_s ?? AGAIN_S));
        },
      );
    };
    setQuoting({ state: 'asking' });
    ask();
    return () => {
      still = false;
      clearTimeout(timer);
    };
  }, [body]);
  return quoting;
}

/** The next whole minute: rooms are told minutes. */
export function wholeMinute(s: number): number {
  return Math.ceil(s / 60) * 60;
}
