import type { VNode } from 'preact';

import type { Doings, Model } from '../core/model.ts';

/** One screen: drawn anew from the model whenever that changes, four times a second at the least. */
export type Page = (props: { model: Model; doings: Doings }) => VNode;
