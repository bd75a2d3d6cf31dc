/** A picture made small on the phone: it goes quickly over a weak signal, and without its place. */
import type { KeptPicture } from '../store/database';
import { keepPicture } from '../store/pictures';
import { newId } from '../sync/outbox';
import { pictures } from './shop';

const SIDE = 1600;
const QUALITY = 0.85;

/** Kept on this phone; the server gets it when it can be had. */
export async function takePicture(file: Blob, event: string, about: string): Promise<void> {
  const jpeg = await small(file);
  const made_at = new Date().toISOString();
  const picture: KeptPicture = { id: newId(), event, about, jpeg, made_at };
  await keepPicture(picture);
  pictures.value = [...pictures.peek(), picture];
}

/** Throws where it is no picture that this browser can read. */
async function small(file: Blob): Promise<ArrayBuffer> {
  if (typeof OffscreenCanvas === 'undefined') return file.arrayBuffer();
  const drawn = await createImageBitmap(file);
  const part = Math.min(1, SIDE / Math.max(drawn.width, drawn.height));
  const sheet = new OffscreenCanvas(
    Math.max(1, Math.round(drawn.width * part)),
    Math.max(1, Math.round(drawn.height * part)),
  );
  sheet.getContext('2d')!.drawImage(drawn, 0, 0, sheet.width, sheet.height);
  drawn.close();
  return (await sheet.convertToBlob({ type: 'image/jpeg', quality: QUALITY })).arrayBuffer();
}
