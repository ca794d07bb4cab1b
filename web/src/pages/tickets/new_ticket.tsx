// A new ticket by taps: its table and covers, its dishes, its minute. One tap is one more.

import type { VNode } from 'preact';

import type { Doings, Model } from '../../core/model.ts';
import { clock, minutes } from '../../look/shown.ts';
import type { TicketCalled } from '../../wire.ts';
import { AllergyKeys } from './allergy_keys.tsx';
import { heldBy } from './allergens.ts';
import {
  apart, called, count, counted, covered, fewer, lettered, missing, more, numbered, plates, quoted, tableOf, toCourse,
  type Draft,
} from './draft.ts';
import { useRoom } from './desk.tsx';
import { Key } from './keys.tsx';
import { MinuteChoice } from './minute.tsx';
import { since } from './open.ts';
import { allergenWord, covers, dishName, dishWords, w } from './words.ts';

const LETTERS = [...'ABCDEFGH']; // rooms name their sections so: own choice
const DIGITS = [...'1234567890'];
const COVERS = Array.from({ length: 12 }, (_, n) => n + 1);

export type Step = 'table' | 'covers' | 'dishes' | 'courses' | 'allergy' | 'minute';

/** Where a ticket is gone on with. */
export function firstStep(draft: Draft): Step {
  const lacks = missing(draft);
  return lacks === 'table' || lacks === 'covers' ? lacks : 'dishes';
}

interface StepsProps {
  readonly model: Model;
  readonly draft: Draft;
  readonly step: Step;
  readonly go: (step: Step) => void;
  readonly leave: () => void;
}

/** The ticket so far as keys: whose, what, in which course, what not, when. */
export function Steps({ model, draft, step, go, leave }: StepsProps): VNode {
  const lacks = missing(draft);
  return (
    <>
      <Key grow id="step-table" on={step === 'table' || step === 'covers'} onTap={() => { go('table'); }}>
        <span>{tableOf(draft) || w(model, 'tk.table')}</span>
        <small>{draft.covers > 0 ? covers(model, draft.covers) : w(model, 'tk.covers')}</small>
      </Key>
      <Key grow id="step-dishes" on={step === 'dishes'} onTap={() => { go('dishes'); }}>
        <span>{w(model, 'tk.dishes')}</span><small>{w(model, 'tk.plates_n', { n: plates(draft) })}</small>
      </Key>
      <Key grow id="step-courses" on={step === 'courses'} off={plates(draft) === 0} onTap={() => { go('courses'); }}>
        <span>{draft.course + 1}</span><small>{w(model, 'tk.course')}</small>
      </Key>
      <Key grow id="step-allergy" on={step === 'allergy'} onTap={() => { go('allergy'); }}>
        <span>{w(model, 'tk.allergy')}</span><small>{marks(model, draft)}</small>
      </Key>
      <Key grow id="step-minute" on={step === 'minute'} off={lacks !== null} onTap={() => { go('minute'); }}>
        <span>{w(model, 'tk.minute')}</span><small>{lacks === null ? w(model, 'tk.quote') : w(model, `tk.lacks.${lacks}`)}</small>
      </Key>
      <Key id="leave" onTap={leave} label={w(model, 'tk.leave_ticket')}>×</Key>
    </>
  );
}

interface Props {
  readonly model: Model;
  readonly doings: Doings;
  readonly draft: Draft;
  readonly step: Step;
  readonly go: (step: Step) => void;
  readonly change: (draft: Draft) => void;
  readonly call: (ticket: TicketCalled, draft: Draft) => void;
  readonly forget: () => void;
}

export function NewTicket({ model, doings, draft, step, go, change, call, forget }: Props): VNode {
  const there = tableOf(draft) !== '' && model.facts?.tickets.some((one) => one.table === tableOf(draft)) === true;
  const body = { model, draft, change };
  const roomy = useRoom(model) === 'roomy';
  return (
    <>
      {(plates(draft) > 0 || there) && <Sentence model={model} draft={draft} there={there} />}
      {(step === 'table' || (roomy && step === 'covers')) && <TableKeys {...body} done={roomy ? null : () => { go('covers'); }} />}
      {(step === 'covers' || (roomy && step === 'table')) && <CoverKeys {...body} roomy={roomy} done={() => { go('dishes'); }} forget={forget} />}
      {step === 'dishes' && <DishKeys {...body} />}
      {step === 'courses' && <Courses {...body} done={() => { go('dishes'); }} />}
      {step === 'allergy' && <AllergyKeys {...body} />}
      {step === 'minute' && (
        <MinuteChoice
          model={model} doings={doings} asked={quoted(draft)}
          accept={(wanted_s) => { call(called(draft, model.now_s, wanted_s), draft); }}
        />
      )}
    </>
  );
}

function marks(model: Model, draft: Draft): string {
  const n = draft.allergy.length + draft.courses.flatMap((one) => one.plates).filter((one) => one.allergy.length > 0).length;
  return n === 0 ? w(model, 'tk.none_told') : w(model, 'tk.marks_n', { n });
}

/** The ticket in words, as it would be read out, and what stands against it. */
function Sentence({ model, draft, there }: { model: Model; draft: Draft; there: boolean }): VNode {
  const courses = draft.courses.filter((course) => course.plates.length > 0);
  const wrong = draft.courses.flatMap((course) => course.plates).flatMap((plate) => {
    const dish = model.house.dishes.find((one) => one.key === plate.dish);
    const held = heldBy(dish, [...draft.allergy, ...plate.allergy]);
    return held.length > 0 ? [w(model, 'tk.holds_it', { dish: dishName(model, plate.dish), words: held.map((one) => allergenWord(model, one)).join(', ') })] : [];
  });
  return (
    <div class="tk-sentence" aria-live="polite">
      <p>{courses.map((course) => dishWords(model, counted(course.plates))).join(' / ')}</p>
      {there && <p class="warn">{w(model, 'tk.has_ticket', { table: tableOf(draft) })}</p>}
      {[...new Set(wrong)].map((words) => <p class="warn" key={words}>{words}</p>)}
    </div>
  );
}

interface Body {
  readonly model: Model;
  readonly draft: Draft;
  readonly change: (draft: Draft) => void;
}

/** Letters and digits. Where the covers have a screen of their own, a digit leads there; a second one by going back. */
function TableKeys({ model, draft, change, done }: Body & { done: (() => void) | null }): VNode {
  if (draft.refire_of !== null) return <p>{w(model, 'tk.again_for', { table: draft.refire_of })}</p>;
  return (
    <div class="keys fill" role="group" aria-label={w(model, 'tk.table')}>
      {LETTERS.map((one) => (
        <Key key={one} id={`letter-${one}`} on={draft.letter === one} onTap={() => { change(lettered(draft, one)); }}>{one}</Key>
      ))}
      {DIGITS.map((one) => (
        <Key key={one} id={`digit-${one}`} off={draft.letter === ''} onTap={() => { change(numbered(draft, one)); done?.(); }}>{one}</Key>
      ))}
    </div>
  );
}

function CoverKeys({ model, draft, roomy, change, done, forget }: Body & { roomy: boolean; done: () => void; forget: () => void }): VNode {
  const setCovers = (n: number): void => {
    const next = covered(draft, n);
    change(next);
    if (missing(next) !== 'table') done();
  };
  return (
    <>
      {roomy && <p>{w(model, 'tk.covers')}</p>}
      <div class="keys fill" role="group" aria-label={w(model, 'tk.covers')}>
        {COVERS.map((n) => (
          <Key key={n} id={`covers-${n}`} on={draft.covers === n} onTap={() => { setCovers(n); }}>{n}</Key>
        ))}
        <Key id="covers-more" on={draft.covers > 12} onTap={() => { change(covered(draft, Math.max(12, draft.covers) + 1)); }} label={`${draft.covers > 12 ? draft.covers : '+1'}, ${w(model, 'tk.one_more')}`}>
          {draft.covers > 12 ? draft.covers : '+1'}
        </Key>
        <Key id="forget" grow onTap={forget}>{w(model, 'tk.forget')}</Key>
      </div>
    </>
  );
}

function DishKeys({ model, draft, change }: Body): VNode {
  const facts = model.facts;
  return (
    <div class="tk-dishes">
      {model.house.dishes.map((dish) => {
        const n = count(draft, dish.key);
        const gone = facts === null ? undefined : since(facts.gone, dish.key);
        return (
          <div class="tk-dish" key={dish.key}>
            <Key id={`more-${dish.key}`} on={n > 0} off={gone !== undefined} onTap={() => { change(more(draft, dish.key)); }}
            >
              <span>{dish.name}</span>
              {gone === undefined ? <b>{n > 0 ? n : ''}</b> : <small>{w(model, 'tk.off_since', { at: clock(gone.at_s) })}</small>}
            </Key>
            <Key id={`fewer-${dish.key}`} off={n === 0} onTap={() => { change(fewer(draft, dish.key)); }}
              label={`${dish.name}: ${w(model, 'tk.one_fewer')}`}>−</Key>
          </div>
        );
      })}
    </div>
  );
}

function Courses({ model, draft, change, done }: Body & { done: () => void }): VNode {
  const now = draft.courses[draft.course];
  const to = (n: number): void => {
    change(toCourse(draft, n));
    done();
  };
  return (
    <>
      <div class="keys" role="group" aria-label={w(model, 'tk.courses')}>
        {draft.courses.map((course, n) => (
          <Key key={n} grow id={`course-${n + 1}`} on={n === draft.course} onTap={() => { to(n); }}>
            <span>{w(model, 'landing.course', { course: n + 1 })}</span>
            <small>{dishWords(model, counted(course.plates))}</small>
          </Key>
        ))}
        <Key id="course-next" grow off={(draft.courses[draft.courses.length - 1]?.plates.length ?? 0) === 0} onTap={() => { to(draft.courses.length); }}>
          {w(model, 'tk.next_course')}
        </Key>
      </div>
      {now !== undefined && draft.course > 0 && (
        <div class="keys">
          <p class="tk-after">{w(model, 'tk.after', { n: minutes(now.after_s) })}</p>
          <Key id="apart-less" onTap={() => { change(apart(draft, -300)); }} label={`−5, ${w(model, 'tk.sooner5')}`}>−5</Key>
          <Key id="apart-more" onTap={() => { change(apart(draft, 300)); }} label={`+5, ${w(model, 'tk.later5')}`}>+5</Key>
        </div>
      )}
    </>
  );
}
