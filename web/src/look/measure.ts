// How large an element is drawn, for pictures whose words must keep their size.

import type { RefObject } from 'preact';
import { useLayoutEffect, useRef, useState } from 'preact/hooks';

/** A ref to put on an element, and its width and height in CSS pixels; [0, 0] until it is drawn. */
export function useSize<T extends Element>(): readonly [RefObject<T | null>, readonly [number, number]] {
  const ref = useRef<T | null>(null);
  const [size, setSize] = useState<readonly [number, number]>([0, 0]);
  useLayoutEffect(() => {
    const element = ref.current;
    if (element === null) return undefined;
    const take = () => {
      const { width, height } = element.getBoundingClientRect();
      setSize((was) => (was[0] === width && was[1] === height ? was : [width, height]));
    };
    take();
    const watcher = new ResizeObserver(take);
    watcher.observe(element);
    return () => watcher.disconnect();
  }, []);
  return [ref, size];
}

/** The window's width and height in CSS pixels. */
export function useWindow(): readonly [number, number] {
  const [size, setSize] = useState<readonly [number, number]>([window.innerWidth, window.innerHeight]);
  useLayoutEffect(() => {
    const take = () => setSize([window.innerWidth, window.innerHeight]);
    window.addEventListener('resize', take);
    return () => window.removeEventListener('resize', take);
  }, []);
  return size;
}
