import { useState } from 'preact/hooks';

import './settings.css';
import type { Doings, Model, Settings as Kept } from '../../core/model.ts';
import type { Code } from '../../wire.ts';
import { say } from '../../words/say.ts';
import type { Page } from '../page.ts';
import { roleWord } from '../session/session.tsx';
import { troubleWords } from '../session/trouble.ts';
import { Choice } from './choice.tsx';
import { LANGUAGES } from './languages.ts';
import { CARD_MM, narrower, wider } from './true_size.ts';

const MANAGES: readonly string[] = ['chef', 'owner'];

/** How this screen shows things, who is in, and letting one more screen in. */
export const Settings: Page = ({ model, doings }) => {
  const { settings } = model;
  const { language } = settings;
  const set = (part: Partial<Kept>) => doings.set(part);
  const onOff = [
    [true, say(language, 'set.on')],
    [false, say(language, 'set.off')],
  ] as const;
  return (
    <main class="settings">
      <header>
        <h1>{say(language, 'set.title')}</h1>
        <a class="key-like" href="#pages">
          {say(language, 'pages')}
        </a>
      </header>
      <Choice name={say(language, 'set.language')} options={LANGUAGES} chosen={language} onChosen={(one) => set({ language: one })} />
      <Choice
        name={say(language, 'set.polarity')}
        options={[['dark', say(language, 'set.dark')], ['light', say(language, 'set.light')]] as const}
        chosen={settings.polarity}
        onChosen={(polarity) => set({ polarity })}
      />
      <Choice
        name={say(language, 'set.cook')}
        options={[[null, say(language, 'set.all_cooks')], ...model.house.cooks.map((cook) => [cook, cook] as const)]}
        chosen={settings.cook}
        onChosen={(cook) => set({ cook })}
      />
      <Choice name={say(language, 'set.sound')} options={onOff} chosen={settings.sound} onChosen={(sound) => set({ sound })} />
      <Choice name={say(language, 'set.speech')} options={onOff} chosen={settings.speech} onChosen={(speech) => set({ speech })} />
      <Choice
        name={say(language, 'set.temperature')}
        options={[['C', '°C'], ['F', '°F']] as const}
        chosen={settings.temperature}
        onChosen={(temperature) => set({ temperature })}
      />
      <Choice
        name={say(language, 'set.length')}
        options={[['cm', 'cm'], ['in', 'in']] as const}
        chosen={settings.length}
        onChosen={(length) => set({ length })}
      />
      <Choice
        name={say(language, 'set.mass')}
        options={[['g', 'g'], ['oz', 'oz']] as const}
        chosen={settings.mass}
        onChosen={(mass) => set({ mass })}
      />
      <TrueSize settings={settings} set={set} />
      <Here model={model} doings={doings} />
    </main>
  );
};

function TrueSize({ settings, set }: { settings: Kept; set: (part: Partial<Kept>) => void }) {
  const { language, px_per_mm } = settings;
  return (
    <section class="true-size" aria-labelledby="true-size">
      <h2 id="true-size">{say(language, 'set.size')}</h2>
      <p>{say(language, 'set.size.how')}</p>
      <div class="card" style={{ width: `${CARD_MM * px_per_mm}px` }} />
      <button type="button" onClick={() => set({ px_per_mm: narrower(px_per_mm) })}>
        {say(language, 'set.narrower')}
      </button>
      <button type="button" onClick={() => set({ px_per_mm: wider(px_per_mm) })}>
        {say(language, 'set.wider')}
      </button>
    </section>
  );
}

function Here({ model, doings }: { model: Model; doings: Doings }) {
  const { language } = model.settings;
  const [code, setCode] = useState<Code | null>(null);
  const [trouble, setTrouble] = useState('');
  const { who } = model;
  if (who === null) return null;
  const failed = (err: unknown) => setTrouble(troubleWords(language, err, 'who.wrong'));
  const leave = () => {
    const waits = model.queue.length;
    if (waits > 0) setTrouble(say(language, 'set.leave.not', { count: waits }));
    else void doings.leave().then(() => (location.hash = ''), failed); // who comes in next begins at the first page
  };
  return (
    <section class="here" aria-labelledby="here">
      <h2 id="here">{say(language, 'set.person', { name: who.name, role: roleWord(language, who.role) })}</h2>
      {trouble !== '' && <p role="status">{`▲ ${trouble}`}</p>}
      {code !== null && (
        <p role="status">
          <strong class="code">{code.code.replace(/^(.{4})/, '$1 ')}</strong>{' '}
          {say(language, 'set.code.shown', { minutes: Math.round(code.good_for_s / 60) })}
        </p>
      )}
      {MANAGES.includes(who.role) && (
        <button type="button" onClick={() => void doings.ask<Code>('/api/codes', {}).then(setCode, failed)}>
          {say(language, 'set.code')}
        </button>
      )}
      <button type="button" onClick={leave}>
        {say(language, 'set.leave')}
      </button>
      {!model.keeps && <p role="status">{`▲ ${say(language, 'keeps.not.why')}`}</p>}
      {!navigator.serviceWorker?.controller && <p>{say(language, 'set.not_kept')}</p>}
    </section>
  );
}
