/** All that was told of a piece and of what it is made of. A struck line stays, struck through. */
import { useEffect, useState } from 'preact/hooks';
import { minute } from '../models/clock';
import type { OnePiece } from '../models/one-piece';
import { served } from '../models/shop';
import { pullKept } from '../sync/pull';
import { say, word } from '../words/say';
import { when } from '../words/times';
import { Pictures } from './pictures';

export function PieceHistory({ piece }: { piece: string }) {
  const [told, setTold] = useState<OnePiece>();
  const [open, setOpen] = useState(false);
  const [failed, setFailed] = useState(false);
  const heard = served.value?.now;
  useEffect(() => {
    if (!open) return;
    void pullKept<OnePiece>(`piece:${piece}`, `/api/pieces/${piece}`).then(
      (found) => {
        setTold(found);
        setFailed(false);
      },
      () => setFailed(true),
    );
  }, [open, heard]);
  return (
    <section class="stack">
      <button type="button" class="quiet" aria-expanded={open} onClick={() => setOpen(!open)}>
        {say(open ? 'can.history_hide' : 'can.history')}
      </button>
      {open && failed && <p role="alert">{say('can.history_needs_signal')}</p>}
      {open && told && <Joints told={told} />}
      {open && told && <Pictures lines={told.history} />}
      {open && told && <Lines told={told} />}
    </section>
  );
}

function Joints({ told }: { told: OnePiece }) {
  return (
    <section>
      <h2 class="part-head">{say('can.every_joint')}</h2>
      <ul class="also">
        {told.joints.map((joint) => (
          <li key={joint.id}>
            <span>
              <b>{joint.name}</b> <span class="soft">{joint.glue_up.name}</span>
            </span>
            <span>{jointWords(joint)}</span>
          </li>
        ))}
      </ul>
    </section>
  );
}

function jointWords(joint: OnePiece['joints'][number]): string {
  if (joint.gone) return say('can.joint_gone');
  if (joint.suspect) return say('wait.suspect', { cause: word(`suspect.${joint.suspect}`) });
  if (!joint.began_at) return say('can.joint_unpressed');
  const sure = joint.spin?.sure;
  if (sure) return say('wait.sure', { at: when(sure, minute.value, 'up') });
  return joint.spin && joint.spin.state === 'ask' ? say('wait.long_past') : say('time.never');
}

function Lines({ told }: { told: OnePiece }) {
  return (
    <section>
      <h2 class="part-head">{say('can.told')}</h2>
      <ol class="also">
        {told.history.map((line) => {
          const text = `${when(line.at, minute.value)} ${word(`verb.${line.kind}`)}`;
          return (
            <li key={line.id}>
              <span>
                <b>{line.struck ? <s>{text}</s> : text}</b> {line.about}
                {typeof line.said.reason === 'string' && (
                  <span class="soft"> {line.said.reason}</span>
                )}
              </span>
              <span class="soft">
                {say('settle.who', { person: line.person, phone: line.phone })}
              </span>
            </li>
          );
        })}
      </ol>
    </section>
  );
}
