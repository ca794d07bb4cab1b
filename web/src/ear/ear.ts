// The ear: makes the sounds the night deserves on this device, and counts how often it interrupted.

import type { Language, Model } from '../core/model.ts';
import { callsNow, type Call } from './calls.ts';
import { paced, perTenMinutes, QUIET, type Pace } from './pace.ts';
import { play } from './tones.ts';

/** What sounds: the browser's, or a test's. */
export interface Sounds {
  tone(call: Call): void;
  speak(words: string, language: Language): void;
}

/** The last call, whose words stand on the screen for a while, and the count. */
export interface Heard {
  readonly call: Call | null;
  readonly at_s: number;
  readonly count: number;
  readonly hazards: number;
  readonly kept_quiet: number;
  readonly per_ten_min: number | null;
}

export class Ear {
  private readonly sounds: Sounds;
  private pace: Pace = QUIET;
  private last: Call | null = null;
  private last_s = 0;

  constructor(sounds: Sounds) {
    this.sounds = sounds;
  }

  /** Takes in how the night stands; sounds at most one call. To be asked whenever the model changes. */
  listen(model: Model): Heard {
    const { pace, call } = paced(this.pace, callsNow(model), model.now_s);
    this.pace = pace;
    if (call !== null) {
      [this.last, this.last_s] = [call, model.now_s];
      if (model.settings.sound) this.sounds.tone(call);
      if (model.settings.speech) this.sounds.speak(call.words, model.settings.language);
    }
    return this.heard(model.now_s);
  }

  heard(now_s: number): Heard {
    const { heard, hazards, kept_quiet } = this.pace;
    return {
      call: this.last,
      at_s: this.last_s,
      count: heard,
      hazards,
      kept_quiet,
      per_ten_min: perTenMinutes(this.pace, now_s),
    };
  }
}

const VOICES: Readonly<Record<Language, string>> = { en: 'en-GB', es: 'es-ES', it: 'it-IT' };

/** The browser's own tones and voices; silent where it has none. */
export function browserSounds(): Sounds {
  let context: AudioContext | null = null;
  return {
    tone(call) {
      context ??= new AudioContext();
      if (context.state === 'suspended') void context.resume();
      play(context, call.level);
    },
    speak(words, language) {
      if (!('speechSynthesis' in window)) return;
      const said = new SpeechSynthesisUtterance(words);
      said.lang = VOICES[language];
      said.rate = 0.95;
      window.speechSynthesis.cancel();
      window.speechSynthesis.speak(said);
    },
  };
}
