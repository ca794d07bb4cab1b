import type { Page } from './page.ts';

/** The pages by the name in the address: #hearth. */
export const pages: Readonly<Record<string, Page>> = {};
