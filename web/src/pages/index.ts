import type { Page } from './page.ts';
import { settingsPage } from './settings/settings.tsx';

/** The pages by the name in the address: #hearth. */
export const pages: Readonly<Record<string, Page>> = {
  settings: settingsPage,
};
