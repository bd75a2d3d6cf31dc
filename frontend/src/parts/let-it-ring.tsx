/** This phone's leave to ring: asked for in words first, and only where it can be given. */
import { useSignal } from '@preact/signals';
import { leave, letItRing, subscribed } from '../sync/push';
import { say } from '../words/say';
import { Sign } from './sign';
import { Tape } from './tape';

export function LetItRing({ onDone }: { onDone: () => unknown }) {
  const failed = useSignal(false);
  const allow = async () => {
    failed.value = !(await letItRing().catch(() => false)) && leave.peek() === 'granted';
    onDone();
  };
  if (leave.value === 'missing') {
    return (
      <>
        <Silent text={say('ring.missing')} />
        <a class="quiet" href="/certificate" target="_self">
          {say('ring.certificate')}
        </a>
      </>
    );
  }
  if (leave.value === 'denied') return <Silent text={say('ring.denied')} />;
  if (subscribed.value) {
    return (
      <p class="line-when">
        <Sign kind="may" /> {say('ring.on')}
      </p>
    );
  }
  return (
    <>
      <Silent text={say(failed.value ? 'ring.failed' : 'ring.off')} />
      <Tape wide verb={say('ring.allow')} onTap={allow} />
    </>
  );
}

function Silent({ text }: { text: string }) {
  return (
    <p class="line-when" role="status">
      <Sign kind="heed" /> <span>{text}</span>
    </p>
  );
}
