// The screen's true scale, from a card everybody has.

export const CARD_MM = 85.6; // ISO/IEC 7810, size ID-1 (from memory, not re-read)
const STEP = 1.01; // a tap changes the scale by a hundredth: own choice
const LEAST = 2;
const MOST = 12; // CSS pixels per mm between a wall screen's and a telephone's, with room: own choice

export function wider(px_per_mm: number): number {
  return Math.min(MOST, px_per_mm * STEP);
}

export function narrower(px_per_mm: number): number {
  return Math.max(LEAST, px_per_mm / STEP);
}
