import type { Settings } from './core/model.ts';

/** Puts a device's settings on the page's root, where the styles read them: --mm, polarity, language. */
export function dress(root: HTMLElement, settings: Settings): void {
  root.lang = settings.language;
  root.dataset['polarity'] = settings.polarity;
  root.style.setProperty('--mm', `${settings.px_per_mm}px`);
}
