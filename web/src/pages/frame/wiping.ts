// The lock while the screen is wiped.

/** How long a locked screen stays so by itself: own choice. */
export const WIPE_S = 15;

/** Which corners have been tapped, after one more; two different ones open the lock. */
export function tapped(before: readonly number[], corner: number): readonly number[] {
  return before.includes(corner) ? before : [...before, corner];
}
