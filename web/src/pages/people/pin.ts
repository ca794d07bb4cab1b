// A PIN as the board takes it, and a code as it is read out. Pure.

export const PIN_LEAST = 4;
export const PIN_MOST = 12;

/** Digits enough, and not all the same: the board refuses others. */
export function pinStands(pin: string): boolean {
  return /^[0-9]{4,12}$/.test(pin) && new Set(pin).size > 1;
}

/** `12345678` as `1234 5678`: two groups are held in mind, eight digits are not. */
export function inFours(code: string): string {
  return code.replace(/(\d{4})(?=\d)/g, '$1 ');
}
