// What guests may not have, marked on the whole ticket or on one plate: whose, then what.

import type { VNode } from 'preact';
import { useState } from 'preact/hooks';

import type { Model } from '../../core/model.ts';
import { allergenKeys } from './allergens.ts';
import { allergyOf, marked, type Draft, type Target } from './draft.ts';
import { Key } from './keys.tsx';
import { allergenWord, dishName, w } from './words.ts';

export function AllergyKeys({ model, draft, change }: { model: Model; draft: Draft; change: (draft: Draft) => void }): VNode {
  const [target, setTarget] = useState<Target>(null);
  const told = allergyOf(draft, target);
  return (
    <>
      <p>{w(model, 'tk.allergy_whose')}</p>
      <div class="keys">
        <Key grow id="whose-all" on={target === null} onTap={() => { setTarget(null); }}>{w(model, 'tk.whole_ticket')}</Key>
        {draft.courses.flatMap((course, c) => course.plates.map((plate, p) => (
          <Key key={`${c}-${p}`} grow id={`whose-${c}-${p}`} on={target?.course === c && target.plate === p} onTap={() => { setTarget({ course: c, plate: p }); }}>
            <span>{dishName(model, plate.dish)}</span>
            <small>{plate.allergy.length === 0 ? w(model, 'tk.plate_n', { n: p + 1 }) : plate.allergy.map((one) => allergenWord(model, one)).join(', ')}</small>
          </Key>
        )))}
      </div>
      <p>{w(model, 'tk.allergy_what')}</p>
      <div class="keys">
        {allergenKeys(model.house.dishes).map((word) => (
          <Key key={word} grow id={`allergen-${word}`} on={told.includes(word)} onTap={() => { change(marked(draft, target, word)); }}>
            {allergenWord(model, word)}
          </Key>
        ))}
      </div>
      <p class="caution">{w(model, 'tk.allergy_caution')}</p>
    </>
  );
}
