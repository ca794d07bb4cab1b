import assert from 'node:assert/strict';
import { test } from 'node:test';

import { kindWord, toldWords } from './say_told.ts';

// As the board tells them (tests/unit/board/test_told_words.py holds that it still does).
const SAID = {
  'breast 171 °F at 06:02, thigh 168 °F at 06:01': 'pechuga 171 °F a las 06:02, muslo 168 °F a las 06:01',
  'no reading of the coldest part; 165 °F or 74 °C is wanted': 'sin lectura de la parte más fría; se pide 165 °F o 74 °C',
  '164 °F at 13:40; 165 °F or 74 °C is wanted': '164 °F a las 13:40; se pide 165 °F o 74 °C',
  '70 °F or 21 °C is to be shown by 2 h 00 min after its start': '70 °F o 21 °C: a mostrar antes de 2 h 00 min desde su inicio',
  'first shown at 2 h 20 min, 2 h 00 min is the limit': 'mostrado a las 2 h 20 min, el límite es 2 h 00 min',
  'no reading shows 41 °F or 5 °C within 6 h 00 min': 'ninguna lectura muestra 41 °F o 5 °C en 6 h 00 min',
  '70 °F at 15:00, 2 h 00 min of 2 h 00 min': '70 °F a las 15:00, 2 h 00 min de 2 h 00 min',
  'day 1 is 2026-06-02, last day 2026-06-08 (every thawed date): discard':
    'el día 1 es 2026-06-02, último día 2026-06-08 (cuenta cada día descongelado): tirar',
  'cooling: unproven, 3-501.14(A)(2): 41 °F or 5 °C is to be shown by 6 h 00 min after its start.':
    'enfriado: sin probar, 3-501.14(A)(2): 41 °F o 5 °C: a mostrar antes de 6 h 00 min desde su inicio.',
  'first heat: unproven, no verdict.': 'primer calor: sin probar, sin veredicto.',
  'probe 2 is 0.50 °F off, 2 °F is the limit': 'probe 2 se desvía 0.50 °F, el límite es 2 °F',
  '128 °F at 14:00, 135 °F or 57 °C is the limit; last within it 138 °F at 12:00':
    '128 °F a las 14:00, el límite es 135 °F o 57 °C; la última dentro: 138 °F a las 12:00',
  '3-302.11(A)(2); own choice, not law': '3-302.11(A)(2); elección propia, no norma',
  '121 °F, warmest middle': '121 °F, parte más caliente (centro)',
  'cooling': 'enfriándose',
  'covered, 100 mm thick': 'cámara, con tapa, 100 mm de grosor',
  'a house of its own words': 'a house of its own words',
} as const;

test('what rules and entries say is said in the language of the screen', () => {
  for (const [en, es] of Object.entries(SAID)) assert.equal(toldWords('es', en), es);
});

test('English stays as it was told', () => {
  for (const en of Object.keys(SAID)) assert.equal(toldWords('en', en), en);
});

test('a number, a clock or a date that was told is never lost or changed', () => {
  for (const language of ['es', 'it'] as const) {
    for (const en of Object.keys(SAID)) {
      const numbers = (words: string): string[] => [...words.matchAll(/\d[\d.:-]*\d|\d/g)].map((found) => found[0]).sort();
      assert.deepEqual(numbers(toldWords(language, en)), numbers(en), en);
    }
  }
});

test('an entry bears its kind', () => {
  assert.equal(kindWord('it', 'probe check'), 'sonda controllata');
  assert.equal(kindWord('it', 'something new'), 'something new');
});
