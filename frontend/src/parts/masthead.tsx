/** Where this is, and how far its word can be trusted; the way to the other rooms. */
import { minute, skew_ms } from '../models/clock';
import {
  pictures,
  refused,
  served,
  storeTrouble,
  trouble,
  unsent,
  unsentPictures,
} from '../models/shop';
import { count, say } from '../words/say';
import { clock, span, when } from '../words/times';
import { Sign } from './sign';

export function Masthead() {
  const shop = served.value?.workshop.name ?? say('app.name');
  return (
    <div class="masthead">
      <div class="masthead-word">
        <p class="masthead-shop">
          {shop} <time>{clock(minute.value)}</time>
        </p>
        <State />
      </div>
      <a class="quiet masthead-more" href="/more">
        {say('room.more')}
      </a>
    </div>
  );
}

function State() {
  const kept = unsent.value.length + unsentPictures.value.length;
  const heard = served.value?.now;
  const lost = trouble.value !== undefined;
  return (
    <div role="status" class="masthead-state">
      {kept > 0 && (
        <p>
          <Sign kind="kept" /> {count('state.kept', kept)}
        </p>
      )}
      {!lost && kept === 0 && heard && <p>{say('state.sent')}</p>}
      {lost && heard && <p>{say('state.no_word', { at: when(heard, minute.value) })}</p>}
      {lost && !heard && <p>{say('state.never')}</p>}
    </div>
  );
}

/** What stands above every screen until it has been seen to. */
export function Notices() {
  const failure = trouble.value;
  const store = storeTrouble.value;
  const skew = skew_ms.value;
  const no = refused.value.length + pictures.value.length - unsentPictures.value.length;
  return (
    <>
      {store && <Notice kind="stop">{say(`store.${store}`)}</Notice>}
      {failure && failure !== 'no_signal' && (
        <Notice kind="heed">{say(`trouble.${failure}`)}</Notice>
      )}
      {skew !== 0 && (
        <Notice kind="heed">{say('state.skew', { span: span(Math.abs(skew)) })}</Notice>
      )}
      {no > 0 && (
        <a class="notice notice-link" href="/phone">
          <Sign kind="heed" />
          <span>{count('state.refused', no)}</span>
        </a>
      )}
    </>
  );
}

function Notice({ kind, children }: { kind: 'stop' | 'heed'; children: string }) {
  return (
    <div class={`notice notice-${kind}`} role="alert">
      <Sign kind={kind} />
      <p>{children}</p>
    </div>
  );
}
