import { Closing } from './closing/index.tsx';
import { Danger } from './danger/danger.tsx';
import { Day } from './day/index.tsx';
import { Fire } from './fire/fire.tsx';
import { Pages, Wipe } from './frame/pages.tsx';
import { Hearth } from './hearth/hearth.tsx';
import { Lots } from './lots/index.tsx';
import type { Page } from './page.ts';
import { Pass } from './pass/pass.tsx';
import { People } from './people/index.tsx';
import { Records } from './records/index.tsx';
import { Replay } from './replay/index.tsx';
import { Settings } from './settings/settings.tsx';
import { Tickets } from './tickets/index.tsx';
import { Wall } from './wall/wall.tsx';
import { Watch } from './watch/watch.tsx';

/** The pages by the name in the address: #hearth. */
export const pages: Readonly<Record<string, Page>> = {
  hearth: Hearth,
  pass: Pass,
  fire: Fire,
  watch: Watch,
  wall: Wall,
  tickets: Tickets,
  people: People,
  closing: Closing,
  replay: Replay,
  day: Day,
  lots: Lots,
  records: Records,
  danger: Danger,
  pages: Pages,
  wipe: Wipe,
  settings: Settings,
};
