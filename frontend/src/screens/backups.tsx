/** When was all of it last kept, where does it lie, and how does it come back? */
import { minute } from '../models/clock';
import { isOwner } from '../models/shop';
import type { Instant } from '../models/view';
import { Sign } from '../parts/sign';
import { Tape } from '../parts/tape';
import { useTold } from '../parts/use-told';
import { Wrong } from '../parts/wrong';
import { postLong } from '../sync/ask';
import { say, word } from '../words/say';
import { number, when } from '../words/times';

interface KeptBackup {
  name: string;
  made_at: Instant;
  size_bytes: number;
  nightly: boolean;
}

interface BackupsTold {
  kept: number;
  newest_at: Instant | null;
  free_bytes: number;
  wrong: string[];
  why: string;
  folder: string;
  files: KeptBackup[];
}

const RESTORE = 'python3 manage.py restore shed.zip';

export default function Backups() {
  const { told, wrong, act } = useTold<BackupsTold>('/api/backups');
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('room.backups')}</h1>
      <Wrong says={wrong.value} />
      {told.value && <State told={told.value} />}
      {told.value && isOwner.value && (
        <>
          <section class="stack">
            <p class="soft">{say('backup.now_note')}</p>
            <Tape
              wide
              verb={say('backup.now')}
              onTap={() => act(() => postLong('/api/backups', {}))}
            />
          </section>
          <Files files={told.value.files} folder={told.value.folder} />
        </>
      )}
      {!isOwner.value && <p class="soft">{say('backup.owner')}</p>}
      <section class="stack">
        <h2 class="part-head">{say('backup.back')}</h2>
        <p>{say('backup.back_how')}</p>
        <p class="address">{RESTORE}</p>
        <p>{say('backup.back_does')}</p>
      </section>
    </main>
  );
}

function State({ told }: { told: BackupsTold }) {
  return (
    <section class="stack">
      <p class="line-when">
        <Sign kind={told.wrong.length ? 'stop' : told.newest_at ? 'may' : 'wait'} />
        <b class="line-name">
          {told.newest_at
            ? say('backup.newest', { at: when(told.newest_at, minute.value) })
            : say(told.wrong.includes('none_yet') ? 'backup.never' : 'backup.none')}
        </b>
      </p>
      {told.wrong.map((key) => (
        <p class="notice notice-stop" role="alert" key={key}>
          {word(`backup.wrong.${key}`, { free: size(told.free_bytes), why: told.why })}
        </p>
      ))}
      <p>{say('backup.nightly_note')}</p>
    </section>
  );
}

function Files({ files, folder }: { files: readonly KeptBackup[]; folder: string }) {
  return (
    <section class="stack">
      <h2 class="part-head">{say('backup.files')}</h2>
      <p>
        {say('backup.folder')} <span class="address">{folder}</span>
      </p>
      {files.length > 0 && (
        <div class="notice">
          <Sign kind="heed" />
          <p>{say('backup.danger')}</p>
        </div>
      )}
      {files.map((one) => (
        <a
          class="quiet"
          key={one.name}
          href={`/api/backups/file?name=${encodeURIComponent(one.name)}`}
          download={one.name}
        >
          {say('backup.take', { at: when(one.made_at, minute.value) })}
          <span class="soft">
            {say(one.nightly ? 'backup.by_night' : 'backup.asked', { size: size(one.size_bytes) })}
          </span>
        </a>
      ))}
    </section>
  );
}

function size(bytes: number): string {
  const mb = bytes / 1e6;
  if (mb < 1) return say('backup.kb', { kb: number(bytes / 1e3, 0) });
  return say('backup.mb', { mb: number(mb, mb < 10 ? 1 : 0) });
}
