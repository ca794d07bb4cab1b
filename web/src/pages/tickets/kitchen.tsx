// What happens to the kitchen: dishes out and back, cooks out and in, dead platters, a spill on the stone.

import type { VNode } from 'preact';
import { useState } from 'preact/hooks';

import type { Model } from '../../core/model.ts';
import { clock } from '../../look/shown.ts';
import type { What } from '../../wire.ts';
import { Key } from './keys.tsx';
import { since, spilt } from './open.ts';
import { StoneTap } from './stone_tap.tsx';
import { w } from './words.ts';

interface Props {
  readonly model: Model;
  readonly tell: (what: What, words: string) => void;
}

/** Every dish with one key: 86, or back on with since when it is off. */
export function EightySix({ model, tell }: Props): VNode {
  return (
    <ul class="lines two">
      {model.house.dishes.map((dish) => {
        const gone = model.facts === null ? undefined : since(model.facts.gone, dish.key);
        return (
          <li key={dish.key}>
            <span class="what">{dish.name}<small>{gone === undefined ? w(model, 'tk.is_on') : w(model, 'tk.off_since', { at: clock(gone.at_s) })}</small></span>
            {gone === undefined ? (
              <Key act id={`gone-${dish.key}`} label={`86 ${dish.name}`} onTap={() => { tell({ kind: 'eighty_six', dish: dish.key }, w(model, 'tk.is_86', { dish: dish.name })); }}>86</Key>
            ) : (
              <Key act id={`back-${dish.key}`} on label={`${dish.name} ${w(model, 'tk.back_on')}`} onTap={() => { tell({ kind: 'back_on', dish: dish.key }, w(model, 'tk.is_back', { dish: dish.name })); }}>{w(model, 'tk.back_on')}</Key>
            )}
          </li>
        );
      })}
    </ul>
  );
}

const SPILLS_M = [['platter', 0.2], ['small', 0.1]] as const; // a platter's butter takes 0.12 m2 of stone; own choice

export function Kitchen({ model, tell }: Props): VNode {
  const [size, setSize] = useState<(typeof SPILLS_M)[number][0]>('platter');
  const radius_m = SPILLS_M.find(([name]) => name === size)?.[1] ?? 0.2;
  const facts = model.facts;
  return (
    <div class="tk-kitchen">
      <section>
        <h2>{w(model, 'tk.hands')}</h2>
        <ul class="lines">
          {model.house.cooks.map((cook) => {
            const out = facts === null ? undefined : since(facts.cooks_out, cook);
            return (
              <li key={cook}>
                <span class="what">{cook}<small>{out === undefined ? w(model, 'tk.is_in') : w(model, 'tk.out_since', { at: clock(out.at_s) })}</small></span>
                {out === undefined ? (
                  <Key act id={`out-${cook}`} label={`${cook} ${w(model, 'tk.out')}`} onTap={() => { tell({ kind: 'cook_out', cook }, w(model, 'tk.is_out', { cook })); }}>{w(model, 'tk.out')}</Key>
                ) : (
                  <Key act id={`in-${cook}`} on label={`${cook} ${w(model, 'tk.in')}`} onTap={() => { tell({ kind: 'cook_in', cook }, w(model, 'tk.is_in_again', { cook })); }}>{w(model, 'tk.in')}</Key>
                )}
              </li>
            );
          })}
          {model.house.platters > 0 && (
            <li>
              <span class="what">{w(model, 'tk.bank')}<small>{w(model, 'tk.platters_left', { n: model.house.platters - (facts?.dead_platters ?? 0) })}</small></span>
              <Key act id="dead-platter" onTap={() => { tell({ kind: 'dead_platter', count: 1 }, w(model, 'tk.is_dead')); }}>{w(model, 'tk.dead')}</Key>
            </li>
          )}
        </ul>
      </section>
      <section>
        <h2>{w(model, 'tk.spill')}</h2>
        <StoneTap model={model} radius_m={radius_m} onTap={(x_m, y_m) => {
          const what = spilt(x_m, y_m, radius_m, model.now_s);
          tell(what, w(model, 'tk.is_spilt', { at: clock(model.now_s + 420) }));
        }} />
        <div class="keys">
          {SPILLS_M.map(([name]) => <Key key={name} grow id={`spill-${name}`} on={size === name} onTap={() => { setSize(name); }}>{w(model, `tk.spill.${name}`)}</Key>)}
        </div>
        <p class="caution">{w(model, 'tk.spill_caution')}</p>
      </section>
    </div>
  );
}
