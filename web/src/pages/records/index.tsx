// The records for whoever asks for proof: a day, a dish, and every entry with the readings and what they show.

import '../lots/lots.css';
import './records.css';

import type { VNode } from 'preact';
import { useEffect, useState } from 'preact/hooks';

import type { Doings, Model } from '../../core/model.ts';
import type { Found, StandsOpen, ToldEntry, ToldLot } from '../../wire.ts';
import { dayBefore } from '../lots/names.ts';
import { Answer, Readings, Verdicts } from '../lots/lot.tsx';
import { CurveView } from '../lots/curve_view.tsx';
import type { Page } from '../page.ts';
import { Desk } from '../tickets/desk.tsx';
import { Key, mayTell, useTelling } from '../tickets/keys.tsx';
import { kindWord, toldWords } from '../../words/say_told.ts';
import { dishName, w } from '../tickets/words.ts';
import { askedPath, dayWord } from './asked.ts';
import { CloseIt } from './close.tsx';
import { InBoiling, LotMarks, Procedure } from './tell.tsx';

const DAYS = [0, 1, 2, 3, 4, 5, 6, 7] as const;

export const Records: Page = ({ model, doings }) => {
  const [words, setWords] = useState('');
  const [day, setDay] = useState('');
  const [lot, setLot] = useState('');
  const [look, setLook] = useState<'found' | 'stands'>('found');
  const today = model.lots?.today ?? '';
  return (
    <Desk model={model} doings={doings} page="records" at={`${look} ${lot}`} top={
      lot === '' ? (
        <>
          <Key grow id="found" on={look === 'found'} onTap={() => { setLook('found'); }}>{w(model, 'rec.found')}</Key>
          <Key grow id="stands" on={look === 'stands'} onTap={() => { setLook('stands'); }}>{w(model, 'rec.stands')}</Key>
          <Key grow id="print" onTap={() => { window.print(); }}>{w(model, 'closing.print')}</Key>
        </>
      ) : (
        <>
          <Key grow id="back" onTap={() => { setLot(''); }}>{w(model, 'rec.found')}</Key>
          <Key grow id="print" onTap={() => { window.print(); }}>{w(model, 'closing.print')}</Key>
        </>
      )
    }>
      {model.lots === null ? <p>{w(model, 'lots.not_kept')}</p> : lot !== '' ? (
        <OneLot model={model} doings={doings} lot={lot} />
      ) : look === 'stands' ? <Stands model={model} doings={doings} /> : (
        <div class="rec">
          <div class="keys fill no-print" role="group">
            <Key id="day-all" on={day === ''} onTap={() => { setDay(''); }}>{w(model, 'rec.all_days')}</Key>
            {DAYS.map((n) => dayBefore(today, n)).map((one, n) => (
              <Key key={one} id={`day-${one}`} on={day === one} onTap={() => { setDay(one); }}>{n === 0 ? w(model, 'rec.today') : n === 1 ? w(model, 'rec.yesterday') : dayWord(model.settings.language, one)}</Key>
            ))}
          </div>
          <label class="no-print">
            <span>{w(model, 'rec.words')}</span>
            <input type="search" maxLength={200} autocomplete="off" spellcheck={false} data-key="words" value={words} onInput={(typed) => { setWords(typed.currentTarget.value); }} />
          </label>
          <div class="keys no-print">
            <Saved id="pdf" words={w(model, 'rec.pdf')} path={askedPath(words, day, '/api/records/print')} />
            <Saved id="csv" words={w(model, 'rec.csv')} path="/api/records/table" />
          </div>
          <Entries model={model} doings={doings} words={words} day={day} choose={setLot} />
          <p class="hush"><small>{w(model, 'rec.head', { head: model.lots.head })}</small></p>
          <p class="hush"><small>{model.lots.rules === '' ? w(model, 'lots.not_judged') : model.lots.words}</small></p>
        </div>
      )}
    </Desk>
  );
};

/** A file of the records to keep: the browser saves it by the session that is open here. */
function Saved({ id, words, path }: { id: string; words: string; path: string }): VNode {
  return <a class="key grow" data-key={id} href={path} download>{words}</a>;
}

/** What the board answers to a question, asked again when the question changes or something was written. */
function useAsked<T>(model: Model, doings: Doings, path: string): readonly [T | null, string] {
  const [found, setFound] = useState<T | null>(null);
  const [words, setWords] = useState('');
  useEffect(() => {
    let still = true;
    doings.ask<T>(path).then(
      (told) => { if (still) { setFound(told); setWords(''); } },
      (err: unknown) => { if (still) { setFound(null); setWords(err instanceof Error ? err.message : String(err)); } },
    );
    return () => { still = false; };
  }, [path, model.lots?.head, model.link]);
  return [found, words];
}

function Entries({ model, doings, words, day, choose }: { model: Model; doings: Doings; words: string; day: string; choose: (lot: string) => void }): VNode {
  const [found, wrong] = useAsked<Found>(model, doings, askedPath(words, day));
  if (wrong !== '') return <p class="warn" role="alert">{wrong}</p>;
  if (found === null) return <p>{w(model, 'rec.asking')}</p>;
  const shown = found.entries.length;
  return (
    <>
      <p role="status">{found.count === 0 ? w(model, 'rec.nothing') : shown < found.count ? w(model, 'rec.last_of', { shown, n: found.count }) : w(model, 'rec.count', { n: found.count })}</p>
      <ul class="lines entries">
        {[...found.entries].reverse().map((one) => <li key={one.id}><Entry model={model} entry={one} choose={choose} /></li>)}
      </ul>
    </>
  );
}

function Entry({ model, entry, choose }: { model: Model; entry: ToldEntry; choose: (lot: string) => void }): VNode {
  const { language } = model.settings;
  const kind = kindWord(language, entry.kind);
  return (
    <>
      <span class="what">
        <span><b>{entry.lot === '' ? kind : entry.lot}</b> {entry.lot !== '' && `${kind}: `}{toldWords(language, entry.words)}</span>
        <small>{entry.day} {entry.clock} {entry.offset}, {entry.person}{entry.instrument !== '' && `, ${entry.instrument}`}{entry.late && `; ${w(model, 'rec.late', { at: entry.entered })}`}{entry.instead_of.map((was) => `; ${w(model, 'lots.instead', { words: was })}`)}</small>
      </span>
      {entry.lot !== '' && <Key id={`see-${entry.id}`} label={`${w(model, 'lots.judged')}: ${entry.lot}`} onTap={() => { choose(entry.lot); }}>▶</Key>}
    </>
  );
}

/** All that is written of one lot: what its readings show, the readings, every entry. */
function OneLot({ model, doings, lot }: { model: Model; doings: Doings; lot: string }): VNode {
  const [told, wrong] = useAsked<ToldLot>(model, doings, `/api/lots/${encodeURIComponent(lot)}`);
  const { said, tell } = useTelling(model, doings);
  return (
    <article class="lot">
      <header><h2>{lot}</h2>{told !== null && <p>{dishName(model, told.dish)}, {told.quantity} ×, {told.made}</p>}</header>
      {wrong !== '' && <p class="hush">{w(model, 'rec.no_lot')}</p>}
      {said !== null && <p role="status">{said.words}</p>}
      {told !== null && (
        <>
          {mayTell(model) && <LotMarks model={model} lot={told} tell={tell} />}
          {told.cooling_since_s !== null && <CurveView model={model} lot={told} />}
          <section><h2>{w(model, 'lots.judged')}</h2>{told.verdicts.length === 0 ? <p>{w(model, 'lots.not_judged')}</p> : <Verdicts model={model} verdicts={told.verdicts} />}</section>
          <section><h2>{w(model, 'lots.readings')}</h2><Readings model={model} lot={told} correct={null} /></section>
        </>
      )}
      <Entries model={model} doings={doings} words={lot} day="" choose={() => {}} />
    </article>
  );
}

function Stands({ model, doings }: { model: Model; doings: Doings }): VNode {
  const [stands, wrong] = useAsked<StandsOpen>(model, doings, '/api/records/open');
  const [closing, setClosing] = useState<ToldEntry | null>(null);
  const [sheet, setSheet] = useState<'' | 'boiling' | 'procedure'>('');
  const { said, tell } = useTelling(model, doings);
  const none = (): void => { setSheet(''); };
  if (sheet === 'boiling') return <InBoiling model={model} instruments={model.lots?.instruments ?? []} tell={tell} done={none} />;
  if (sheet === 'procedure') return <Procedure model={model} tell={tell} done={none} />;
  if (closing !== null) return <CloseIt model={model} entry={closing} tell={(what, words) => { tell(what, words); }} done={() => { setClosing(null); }} />;
  if (stands === null) return <p class={wrong === '' ? '' : 'warn'}>{wrong === '' ? w(model, 'rec.asking') : wrong}</p>;
  return (
    <div class="rec">
      {said !== null && <p role="status">{said.words}</p>}
      {mayTell(model) && (
        <div class="keys no-print">
          <Key grow id="boiling" onTap={() => { setSheet('boiling'); }}>{w(model, 'rec.boiling')}</Key>
          <Key grow id="procedure" onTap={() => { setSheet('procedure'); }}>{w(model, 'rec.procedure')}</Key>
        </div>
      )}
      <h2>{w(model, 'rec.probes')}</h2>
      {stands.checks.length === 0 && <p class="hush">{w(model, 'rec.no_probes')}</p>}
      <ul class="lines">
        {[...stands.checks].reverse().map(({ entry, verdict }) => (
          <li key={entry.id}>
            <span class="what"><span>{toldWords(model.settings.language, verdict === null ? entry.words : verdict.words)}</span><small>{entry.day} {entry.clock} {entry.offset}, {entry.person}{verdict !== null && `; ${toldWords(model.settings.language, verdict.section)}`}</small></span>
            {verdict !== null && <Answer model={model} answer={verdict.answer} />}
          </li>
        ))}
      </ul>
      <h2>{w(model, 'rec.open')}</h2>
      {stands.deviations.length === 0 && <p class="hush">{w(model, 'rec.none_open')}</p>}
      <ul class="lines">
        {stands.deviations.map((one) => (
          <li key={one.id}>
            <span class="what"><span><b>{one.lot}</b> {one.words}</span><small>{one.day} {one.clock} {one.offset}, {one.person}</small></span>
            {mayTell(model) && <Key id={`close-${one.id}`} onTap={() => { setClosing(one); }}>{w(model, 'rec.close')}</Key>}
          </li>
        ))}
      </ul>
    </div>
  );
}
