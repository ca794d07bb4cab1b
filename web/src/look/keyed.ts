// What is keyed in, digit by digit.

const MOST_DIGITS = 4; // 1200 °C is 2192 °F

/** What is keyed in after one more digit; no more than four, no idle noughts. */
export function keyed(before: string, digit: string): string {
  const after = before === '0' ? digit : before + digit;
  return after.length > MOST_DIGITS ? before : after;
}
