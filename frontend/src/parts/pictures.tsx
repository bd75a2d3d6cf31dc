/** Pictures of what happened: seen small, opened large, and one more taken in two touches. */
import { useSignal } from '@preact/signals';
import { useEffect, useState } from 'preact/hooks';
import { takePicture } from '../models/camera';
import { minute } from '../models/clock';
import type { OnePiece } from '../models/one-piece';
import { mayRecord, pictures } from '../models/shop';
import { StoreFailed, type KeptPicture } from '../store/database';
import { sync } from '../sync/beat';
import { say, word } from '../words/say';
import { when } from '../words/times';
import { Choose } from './choose';

type Line = OnePiece['history'][number];
/** So many happenings can be chosen from; a picture is of something that has just been. */
const LATEST = 8;

export function Pictures({ lines }: { lines: readonly Line[] }) {
  const stand = lines.filter((line) => !line.struck);
  const mine = pictures.value.filter((one) => stand.some((line) => line.id === one.event));
  const shown = stand.flatMap((line) => (line.pictures ?? []).map((id) => ({ id, line })));
  if (!stand.length) return null;
  return (
    <section class="stack">
      <h2 class="part-head">{say('picture.head')}</h2>
      {shown.length + mine.length > 0 && (
        <div class="pictures">
          {mine.map((one) => (
            <Unsent one={one} key={one.id} />
          ))}
          {shown.map(({ id, line }) => (
            <a href={`/api/pictures/${id}`} target="_blank" rel="noopener" key={id}>
              <img src={`/api/pictures/${id}`} loading="lazy" alt={lineWords(line)} />
            </a>
          ))}
        </div>
      )}
      {mayRecord.value && <Take lines={stand.slice(0, LATEST)} />}
    </section>
  );
}

/** Seen from this phone's own copy until the server has it. */
function Unsent({ one }: { one: KeptPicture }) {
  const [address, setAddress] = useState('');
  useEffect(() => {
    const own = URL.createObjectURL(new Blob([one.jpeg], { type: 'image/jpeg' }));
    setAddress(own);
    return () => URL.revokeObjectURL(own);
  }, [one.id]);
  return (
    <figure>
      {address && <img src={address} alt={one.about} />}
      <figcaption class="provisional">{say('kept.here')}</figcaption>
    </figure>
  );
}

function Take({ lines }: { lines: readonly Line[] }) {
  const chosen = useSignal('');
  const wrong = useSignal('');
  const of = lines.find((line) => line.id === chosen.value) ?? lines[0]!;
  const take = async (event: Event) => {
    const field = event.currentTarget as HTMLInputElement;
    const file = field.files?.[0];
    field.value = '';
    if (!file) return;
    wrong.value = await takePicture(file, of.id, lineWords(of)).then(
      () => '',
      (cause) => say(cause instanceof StoreFailed ? 'picture.full' : 'picture.unreadable'),
    );
    void sync();
  };
  return (
    <>
      <label class="quiet picture-take">
        <input type="file" accept="image/*" capture="environment" onChange={take} />
        <span>
          {say('picture.take')}
          <br />
          <span class="soft">{say('picture.of', { what: lineWords(of) })}</span>
        </span>
      </label>
      {wrong.value && <p role="alert">{wrong.value}</p>}
      {lines.length > 1 && (
        <details>
          <summary class="quiet">{say('picture.other')}</summary>
          <Choose
            small
            legend={say('picture.which')}
            chosen={new Set([of.id])}
            onChoose={(id) => (chosen.value = id)}
            choices={lines.map((line) => ({
              value: line.id,
              label: word(`verb.${line.kind}`),
              note: when(line.at, minute.value),
            }))}
          />
        </details>
      )}
    </>
  );
}

function lineWords(line: Line): string {
  return `${word(`verb.${line.kind}`)} ${when(line.at, minute.value)}, ${line.about}`;
}
