// What a screen says when what it shows is not all that is so.

import type { Language, Model } from '../../core/model.ts';
import { clock } from '../../look/shown.ts';
import type { Shown } from '../../wire.ts';
import { say } from '../../words/say.ts';

/** The bands to show, the most important first; none when all is well. */
export function bandsOf(
  model: Pick<Model, 'link' | 'lost_since_s' | 'queue' | 'shown' | 'lots' | 'house' | 'settings' | 'who' | 'keeps' | 'now_s'>,
): readonly string[] {
  const { language } = model.settings;
  const link = linkWords(model, language);
  const planner = model.shown === null ? '' : plannerWords(model.shown, model.house.plans, language);
  const left_out =
    model.shown === null || model.shown.left_out.length === 0
      ? ''
      : say(language, 'left_out', { words: model.shown.left_out.join(' ') });
  const reads = mayTell(model) ? '' : say(language, 'reads_only');
  const keeps = model.keeps ? '' : say(language, 'keeps.none');
  return [link, ...lotWords(model), planner, keeps, left_out, reads].filter((words) => words !== '');
}

/** A lot that is to be probed now, or is foreseen to cool too slowly: what is wrong while it can still be helped. */
function lotWords({ lots, now_s, settings: { language } }: Pick<Model, 'lots' | 'now_s' | 'settings'>): string[] {
  return (lots?.lots ?? []).flatMap(({ lot, next_look_s, cooling_since_s, foreseen }) => {
    if ((foreseen?.warnings.length ?? 0) > 0) return [say(language, 'lots.slow', { lot })];
    if (next_look_s === null || cooling_since_s === null || now_s < next_look_s) return [];
    return [say(language, 'lots.due', { lot, at: clock(cooling_since_s) })];
  });
}

/** Whether what is tapped here is told: an inspector reads. Who is not known yet is asked by the board. */
export function mayTell({ who }: Pick<Model, 'who'>): boolean {
  return who?.role !== 'inspector';
}

function linkWords(model: Pick<Model, 'link' | 'lost_since_s' | 'queue'>, language: Language): string {
  if (model.link === 'live') return '';
  const many = model.queue.length;
  const waits =
    many === 0 ? '' : many === 1 ? say(language, 'link.wait') : say(language, 'link.waits', { count: many });
  const link =
    model.link === 'starting' || model.lost_since_s === null
      ? say(language, 'link.starting')
      : say(language, 'link.lost', { clock: clock(model.lost_since_s) });
  return `${link} ${waits}`.trim();
}

/** Nothing while the planner is well: a newer plan being made is no news within seconds. */
function plannerWords({ planner, now_s }: Shown, plans: boolean, language: Language): string {
  if (!plans || planner.condition === 'none') return say(language, 'planner.none');
  const made = planner.made_s;
  if (made === null)
    return planner.condition === 'starting'
      ? say(language, 'planner.starting')
      : say(language, 'planner.noplan');
  if (planner.condition === 'down' || planner.condition === 'starting')
    return say(language, 'planner.down', { clock: clock(made) });
  if (planner.condition === 'closed') return say(language, 'planner.closed', { clock: clock(made) });
  return planner.behind && now_s - made > BEHIND_S
    ? say(language, 'planner.behind', { clock: clock(made) })
    : '';
}

const BEHIND_S = 10; // own choice: five times the longest a plan may take
