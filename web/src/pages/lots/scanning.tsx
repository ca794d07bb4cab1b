// Finding a lot by its label: a scanner that types, the tablet's camera where the browser can read codes, or by hand.

import type { VNode } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';

import type { Model } from '../../core/model.ts';
import { belongsTo } from '../frame/keys.ts';
import { Key } from '../tickets/keys.tsx';
import { w } from '../tickets/words.ts';
import { NOTHING, afterPress } from './scan.ts';

const LOOK_MS = 200; // between two looks of the camera
const LOOKING_MS = 60_000; // then it is shut: nobody is there

/** Listens for a scanner while the page is shown; what is typed into a field is the field's. */
export function useScanner(listens: boolean, onRead: (said: string) => void): void {
  const now = useRef(onRead);
  now.current = onRead;
  useEffect(() => {
    if (!listens) return;
    let burst = NOTHING;
    const press = (event: KeyboardEvent): void => {
      const focus = document.activeElement;
      if (event.repeat || event.ctrlKey || event.metaKey || (focus?.tagName !== 'BUTTON' && focus?.tagName !== 'A' && belongsTo(focus, event.key))) return;
      const after = afterPress(burst, event, event.timeStamp);
      burst = after.burst;
      if (after.read === null) return;
      event.preventDefault(); // or the scanner's Enter taps the key that has the focus
      event.stopPropagation();
      now.current(after.read);
    };
    window.addEventListener('keydown', press, true);
    return () => { window.removeEventListener('keydown', press, true); };
  }, [listens]);
}

interface Detector {
  detect(from: HTMLVideoElement): Promise<readonly { readonly rawValue: string }[]>;
}

type Detectors = new (how: { formats: string[] }) => Detector;

/** The browser's own reader of codes; null where it has none. */
function detector(): Detector | null {
  const made = (globalThis as { BarcodeDetector?: Detectors }).BarcodeDetector;
  return made === undefined ? null : new made({ formats: ['qr_code', 'code_128'] });
}

interface FindProps {
  readonly model: Model;
  readonly onRead: (said: string) => void;
}

/** A field for a number or a name, and the camera. */
export function FindLot({ model, onRead }: FindProps): VNode {
  const [said, setSaid] = useState('');
  const [looks, setLooks] = useState(false);
  return (
    <div class="lot-find no-print">
      <form onSubmit={(event) => { event.preventDefault(); if (said.trim() !== '') onRead(said); setSaid(''); }}>
        <label>
          <span>{w(model, 'lots.find')}</span>
          <input type="search" maxLength={120} autocomplete="off" spellcheck={false} data-key="find-lot" value={said} onInput={(typed) => { setSaid(typed.currentTarget.value); }} />
        </label>
      </form>
      <Key id="camera" on={looks} onTap={() => { setLooks(!looks); }}>{w(model, looks ? 'lots.camera_off' : 'lots.camera')}</Key>
      {looks && <Camera model={model} onRead={(read) => { setLooks(false); onRead(read); }} done={() => { setLooks(false); }} />}
    </div>
  );
}

/** What the camera sees, until it reads a code; where it cannot, that is said. */
function Camera({ model, onRead, done }: FindProps & { done: () => void }): VNode {
  const seen = useRef<HTMLVideoElement>(null);
  const [wrong, setWrong] = useState<'lots.no_reader' | 'lots.no_camera' | null>(null);
  const now = useRef({ onRead, done });
  now.current = { onRead, done };
  useEffect(() => {
    const reader = detector();
    if (reader === null) { setWrong('lots.no_reader'); return; }
    let open: MediaStream | null = null;
    let over = false;
    const stop = (): void => { over = true; open?.getTracks().forEach((one) => { one.stop(); }); };
    const look = async (): Promise<void> => {
      // Without TLS a browser has no `mediaDevices`: that too is no camera.
      open = await navigator.mediaDevices.getUserMedia({ video: { facingMode: 'environment' } });
      const video = seen.current;
      if (over || video === null) { stop(); return; }
      video.srcObject = open;
      await video.play();
      const until = Date.now() + LOOKING_MS;
      while (!over) {
        const found = (await reader.detect(video))[0];
        if (over) return;
        if (found !== undefined) { now.current.onRead(found.rawValue); return; }
        if (Date.now() > until) { now.current.done(); return; }
        await new Promise((wake) => { setTimeout(wake, LOOK_MS); });
      }
    };
    look().catch(() => { if (!over) setWrong('lots.no_camera'); stop(); });
    return stop;
  }, []);
  if (wrong !== null) return <p class="warn" role="alert">{w(model, wrong)}</p>;
  return (
    <figure class="lot-camera">
      <video ref={seen} muted playsInline />
      <figcaption>{w(model, 'lots.hold')}</figcaption>
    </figure>
  );
}
