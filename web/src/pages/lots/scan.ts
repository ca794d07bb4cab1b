// What a label's code says and which lot it means: pure. A scanner is a keyboard that types fast and ends with Enter.

const BASIS = 0xcbf29ce484222325n; // FNV-1a, 64 bits, as printing/lot_codes.py has it
const PRIME = 0x100000001b3n;
const DIGITS = 10;
const QUICK_MS = 100; // between two strokes: scanners take 1 to 50, hands more than 100; own choice
const LEAST = 4; // shorter is a slip of a hand

export function fnv1a64(bytes: Uint8Array): bigint {
  let found = BASIS;
  for (const byte of bytes) found = BigInt.asUintN(64, (found ^ BigInt(byte)) * PRIME);
  return found;
}

/** The number on a lot's label, worked out from its name. */
export function lotNumber(lot: string): string {
  const found = fnv1a64(new TextEncoder().encode(lot)) % 10n ** BigInt(DIGITS);
  return found.toString().padStart(DIGITS, '0');
}

/** A number as people read it. */
export function inGroups(number: string): string {
  return `${number.slice(0, 4)} ${number.slice(4, 7)} ${number.slice(7)}`;
}

/** The lots that a scanned or typed word means: by name, or by number with or without its gaps. */
export function lotsMeant(said: string, lots: readonly string[]): readonly string[] {
  const text = said.trim();
  if (lots.includes(text)) return [text];
  const number = text.replaceAll(' ', '');
  return lots.filter((lot) => lotNumber(lot) === number);
}

/** What was typed so far in one go. */
export interface Burst {
  readonly text: string;
  readonly at_ms: number;
}

export const NOTHING: Burst = { text: '', at_ms: 0 };

export interface Press {
  readonly key: string;
  readonly code: string;
}

/** The burst after one more stroke; `read` is what was scanned, once Enter ends it. */
export function afterPress(burst: Burst, press: Press, at_ms: number): { burst: Burst; read: string | null } {
  const before = at_ms - burst.at_ms <= QUICK_MS ? burst.text : '';
  if (press.key === 'Enter') return { burst: NOTHING, read: before.length >= LEAST ? before : null };
  if (['Shift', 'CapsLock', 'AltGraph'].includes(press.key)) return { burst: { text: before, at_ms }, read: null };
  const typed = typedBy(press);
  return { burst: typed === '' ? NOTHING : { text: before + typed, at_ms }, read: null };
}

/** A digit by where its key is: a scanner and a tablet set to two languages agree on that alone. */
function typedBy({ key, code }: Press): string {
  const digit = /^(?:Digit|Numpad)(\d)$/.exec(code)?.[1];
  if (digit !== undefined) return digit;
  return [...key].length === 1 ? key : '';
}
