/** A logger's file: sent, seen as it would be read, put right, agreed to, taken in with its progress. */
import { useSignal, type Signal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { progress, unsaid, type Look, type LoggerFile, type Shape } from '../models/logger';
import { minute } from '../models/clock';
import { get, post, postFile } from '../sync/ask';
import { sync } from '../sync/beat';
import { say } from '../words/say';
import { when } from '../words/times';
import { FileLook } from './file-look';
import { Tape } from './tape';
import { problemWords } from './wrong';

const MOST_BYTES = 32 * 1024 * 1024;

export function LoggerFiles({ sensor }: { sensor: string }) {
  const files = useSignal<LoggerFile[]>([]);
  const look = useSignal<Look | undefined>(undefined);
  const busy = useSignal(false);
  const wrong = useSignal('');
  const pull = () =>
    get<{ files: LoggerFile[] }>('/api/logger-files').then(
      (told) => (files.value = told.files.filter((one) => one.sensor.id === sensor)),
      (cause) => (wrong.value = problemWords(cause)),
    );
  useEffect(() => void pull(), [sensor]);
  const before = useRef<Promise<unknown>>(Promise.resolve());
  // In turn: what is touched while something else is on its way is done after it, never lost.
  const trying = (work: () => Promise<void>) => {
    const worked = before.current.then(async () => {
      busy.value = true;
      wrong.value = '';
      const cause = await work().then(
        () => '',
        (problem: unknown) => problemWords(problem),
      );
      wrong.value = cause;
      busy.value = false;
      return !cause;
    });
    before.current = worked;
    return worked;
  };
  const offer = (event: Event) => {
    const field = event.currentTarget as HTMLInputElement;
    const file = field.files?.[0];
    field.value = '';
    if (!file) return;
    if (file.size > MOST_BYTES) {
      wrong.value = say('logger.too_big');
      return;
    }
    void trying(async () => {
      const path = `/api/sensors/${sensor}/logger-files?name=${encodeURIComponent(file.name)}`;
      look.value = await postFile<Look>(path, file);
      await pull();
    });
  };
  const lookAt = (file: LoggerFile, more?: Partial<Shape>) =>
    trying(async () => {
      const said = look.value && more ? { shape: { ...look.value.shape, ...more } } : {};
      look.value = await post<Look>(`/api/logger-files/${file.id}/look`, said);
    });
  const drop = (file: LoggerFile) =>
    trying(async () => {
      await post(`/api/logger-files/${file.id}/drop`, {});
      if (look.value?.file.id === file.id) look.value = undefined;
      await pull();
    });
  const take = (file: LoggerFile, shape?: Shape) =>
    trying(async () => {
      look.value = undefined;
      let said: object = shape ? { shape } : {};
      for (let told = file; !told.done_at; said = {}) {
        told = await post<LoggerFile>(`/api/logger-files/${file.id}/take`, said);
        const now = told;
        files.value = files.value.map((one) => (one.id === now.id ? now : one));
      }
      await pull();
      void sync();
    });
  return (
    <section class="stack">
      <h2 class="part-head">{say('logger.head')}</h2>
      <p>{say('logger.note')}</p>
      <label class="quiet picture-take" aria-busy={busy.value}>
        <input type="file" accept=".csv,.txt,.tsv,text/*" disabled={busy.value} onChange={offer} />
        <span>{say(busy.value ? 'logger.busy' : 'logger.choose')}</span>
      </label>
      {wrong.value && <p role="alert">{wrong.value}</p>}
      {look.value && (
        <ToAgree look={look} busy={busy.value} lookAt={lookAt} take={take} drop={drop} />
      )}
      {files.value
        .filter((one) => one.id !== look.value?.file.id)
        .map((one) => (
          <OneFile
            key={one.id}
            file={one}
            busy={busy.value}
            onGoOn={() => (one.row ? take(one) : lookAt(one))}
            onDrop={() => drop(one)}
          />
        ))}
    </section>
  );
}

interface ToAgreeProps {
  look: Signal<Look | undefined>;
  busy: boolean;
  lookAt: (file: LoggerFile, more: Partial<Shape>) => Promise<boolean>;
  take: (file: LoggerFile, shape: Shape) => Promise<unknown>;
  drop: (file: LoggerFile) => Promise<unknown>;
}

/** What only a person can tell is asked before anything counts. */
function ToAgree({ look, busy, lookAt, take, drop }: ToAgreeProps) {
  const said = useSignal<ReadonlySet<string>>(new Set());
  const told = look.value!;
  const change = async (more: Partial<Shape>) => {
    const is_read_so = await lookAt(told.file, more);
    if (is_read_so) said.value = new Set([...said.value, ...Object.keys(more)]);
  };
  const left = unsaid(told, said.value);
  return (
    <article class="stack container">
      <FileLook look={told} said={said.value} onChange={(more) => void change(more)} />
      {left.length > 0 && <p role="alert">{say('logger.answer_first')}</p>}
      <Tape
        wide
        verb={say('logger.take')}
        about={told.file.name}
        disabled={busy || left.length > 0 || told.rows === 0}
        onTap={() => take(told.file, told.shape)}
      />
      <button type="button" class="quiet" disabled={busy} onClick={() => void drop(told.file)}>
        {say('logger.drop')}
      </button>
    </article>
  );
}

interface OneFileProps {
  file: LoggerFile;
  busy: boolean;
  onGoOn: () => Promise<unknown>;
  onDrop: () => Promise<unknown>;
}

function OneFile({ file, busy, onGoOn, onDrop }: OneFileProps) {
  const per_cent = progress(file);
  return (
    <article class="stack container">
      <h3 class="line-name">{file.name || say('logger.unnamed')}</h3>
      <progress max={100} value={per_cent} aria-label={file.name || say('logger.unnamed')} />
      <p role="status">
        {file.done_at
          ? say('logger.done', { at: when(file.done_at, minute.value) })
          : say('logger.part', { part: per_cent })}{' '}
        {say('logger.counted', { kept: file.kept, known: file.known, refused: file.refused })}
      </p>
      {file.faults.length > 0 && (
        <details>
          <summary class="quiet">{say('logger.faults')}</summary>
          <ul class="also">
            {file.faults.map((one) => (
              <li key={`${one.row}${one.field}`}>
                {say('logger.fault', { row: one.row, wrong: one.wrong, mend: one.mend })}
              </li>
            ))}
          </ul>
        </details>
      )}
      {!file.done_at && !busy && (
        <div class="pair">
          <Tape verb={say('logger.go_on')} about={file.name} onTap={onGoOn} />
          <button type="button" class="quiet" onClick={() => void onDrop()}>
            {say('logger.drop')}
          </button>
        </div>
      )}
    </article>
  );
}
