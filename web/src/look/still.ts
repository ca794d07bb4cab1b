// A part of a screen that is drawn anew only when what it shows has changed, not with every quarter second.

import type { VNode } from 'preact';
import { useMemo } from 'preact/hooks';

interface StillProps {
  /** All that the drawing depends on. */
  readonly by: readonly unknown[];
  readonly children: () => VNode;
}

export function Still({ by, children }: StillProps): VNode {
  return useMemo(children, by as unknown[]);
}
