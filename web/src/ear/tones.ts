// Tones of our own: stone on wood, low and short. They differ in rhythm and rise, not in loudness.

import type { Level } from './calls.ts';

export interface Note {
  readonly at_s: number;
  readonly lasts_s: number;
  readonly from_Hz: number;
  readonly to_Hz: number;
}

/** The notes of a level. Between 400 and 1600 Hz, where a kitchen's roar is least (own choice, not measured). */
export const TONES: Readonly<Record<Level, readonly Note[]>> = {
  note: [{ at_s: 0, lasts_s: 0.22, from_Hz: 587, to_Hz: 554 }],
  act: [
    { at_s: 0, lasts_s: 0.16, from_Hz: 659, to_Hz: 659 },
    { at_s: 0.26, lasts_s: 0.3, from_Hz: 880, to_Hz: 988 },
  ],
  hazard: [0, 0.5, 1].flatMap((at_s) => [
    { at_s, lasts_s: 0.18, from_Hz: 1480, to_Hz: 740 },
    { at_s: at_s + 0.2, lasts_s: 0.18, from_Hz: 1480, to_Hz: 740 },
  ]),
};

const LOUD = 0.5;
const SOFT_S = 0.015; // of rise and fall, so that nothing clicks

/** Plays a level's tone. A browser keeps it silent until the page has been touched once. */
export function play(context: AudioContext, level: Level): void {
  for (const note of TONES[level]) {
    const start = context.currentTime + note.at_s;
    const end = start + note.lasts_s;
    const oscillator = context.createOscillator();
    const gain = context.createGain();
    oscillator.type = 'triangle';
    oscillator.frequency.setValueAtTime(note.from_Hz, start);
    oscillator.frequency.exponentialRampToValueAtTime(note.to_Hz, end);
    gain.gain.setValueAtTime(0, start);
    gain.gain.linearRampToValueAtTime(LOUD, start + SOFT_S);
    gain.gain.setValueAtTime(LOUD, end - SOFT_S);
    gain.gain.linearRampToValueAtTime(0, end);
    oscillator.connect(gain).connect(context.destination);
    oscillator.start(start);
    oscillator.stop(end);
  }
}
