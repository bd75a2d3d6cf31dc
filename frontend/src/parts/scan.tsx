/** Hold a tag to the camera: the piece opens by itself. Only where the browser can read tags. */
import { useLocation } from 'preact-iso';
import { useEffect, useRef, useState } from 'preact/hooks';
import { view } from '../models/shop';
import { pieceOfTag } from '../models/tag-read';
import { say } from '../words/say';

interface TagReader {
  detect(source: HTMLVideoElement): Promise<{ rawValue: string }[]>;
}

declare global {
  interface Window {
    BarcodeDetector?: new (wanted: { formats: string[] }) => TagReader;
  }
}

const EVERY_MS = 250;

export function Scan() {
  const [open, setOpen] = useState(false);
  useEffect(() => {
    // Allowed once, it looks at once: the tag is held to it and nothing more is touched.
    void cameraAllowed().then((allowed) => allowed && setOpen(true));
  }, []);
  if (!window.BarcodeDetector || !navigator.mediaDevices) return null;
  return (
    <section class="stack">
      <button type="button" class="quiet" aria-expanded={open} onClick={() => setOpen(!open)}>
        {say(open ? 'scan.stop' : 'scan.start')}
      </button>
      {open && <Camera />}
    </section>
  );
}

async function cameraAllowed(): Promise<boolean> {
  try {
    return (await navigator.permissions.query({ name: 'camera' })).state === 'granted';
  } catch {
    return false;
  }
}

function Camera() {
  const video = useRef<HTMLVideoElement>(null);
  const [words, setWords] = useState(say('scan.hold'));
  const { route } = useLocation();
  useEffect(() => {
    const found = (text: string) => {
      const piece = pieceOfTag(text, view.peek()?.pieces ?? []);
      if (piece) route(`/piece/${piece.id}`);
      else setWords(say('scan.stranger', { text: text.slice(0, 60) }));
    };
    return watch(video.current!, found, () => setWords(say('scan.refused')));
  }, []);
  return (
    <>
      <video class="camera" ref={video} muted playsInline aria-label={say('scan.hold')} />
      <p aria-live="polite">{words}</p>
    </>
  );
}

/** Looks again and again until it is stopped; the camera is let go with it. */
function watch(
  video: HTMLVideoElement,
  found: (text: string) => void,
  refused: () => void,
): () => void {
  const reader = new window.BarcodeDetector!({ formats: ['qr_code'] });
  let stream: MediaStream | undefined;
  let stopped = false;
  const look = async () => {
    if (stopped) return;
    const codes = await reader.detect(video).catch(() => []);
    if (codes[0] && !stopped) found(codes[0].rawValue);
    setTimeout(look, EVERY_MS);
  };
  navigator.mediaDevices
    .getUserMedia({ video: { facingMode: 'environment' } })
    .then(async (given) => {
      stream = given;
      if (stopped) return letGo(given);
      video.srcObject = given;
      await video.play();
      await look();
    }, refused);
  return () => {
    stopped = true;
    if (stream) letGo(stream);
  };
}

function letGo(stream: MediaStream): void {
  for (const track of stream.getTracks()) track.stop();
}
