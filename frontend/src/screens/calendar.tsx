/** How do the waits come into my own calendar, and who else reads them there? */
import { useSignal } from '@preact/signals';
import { minute } from '../models/clock';
import type { Instant } from '../models/view';
import { Field } from '../parts/field';
import { ShownOnce } from '../parts/shown-once';
import { Sign } from '../parts/sign';
import { Surely } from '../parts/surely';
import { useTold } from '../parts/use-told';
import { Wrong } from '../parts/wrong';
import { post } from '../sync/ask';
import { say } from '../words/say';
import { when } from '../words/times';

interface Feed {
  id: string;
  name: string;
  person: string;
  mine: boolean;
  made_at: Instant;
  url: string | null;
}

export default function CalendarRoom() {
  const { told, wrong, act } = useTold<{ feeds: Feed[] }>('/api/calendar-feeds');
  const made = useSignal<Feed | undefined>(undefined);
  const ask = (path: string, body: unknown) => async () => {
    const feed = await post<Feed>(path, body);
    made.value = feed.url ? feed : made.value?.id === feed.id ? undefined : made.value;
  };
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('room.calendar')}</h1>
      <p>{say('calendar.how')}</p>
      <Wrong says={wrong.value} />
      {made.value?.url && (
        <ShownOnce
          head={say('calendar.address', { name: made.value.name })}
          note={say('calendar.once')}
          words={made.value.url}
          copy={say('calendar.copy')}
        />
      )}
      {told.value?.feeds.length === 0 && <p>{say('calendar.none')}</p>}
      {told.value?.feeds.map((feed) => (
        <section class="stack container" key={feed.id}>
          <div>
            <h2 class="line-name">{feed.name}</h2>
            <p>{say('calendar.of', { person: feed.person, at: when(feed.made_at, minute.value) })}</p>
          </div>
          {feed.mine && (
            <Surely
              verb={say('calendar.anew')}
              about={feed.name}
              onTap={() => act(ask(`/api/calendar-feeds/${feed.id}/anew`, {}))}
            >
              <p>{say('calendar.anew_does')}</p>
            </Surely>
          )}
          <Surely
            verb={say('calendar.off')}
            about={feed.name}
            onTap={() => act(ask(`/api/calendar-feeds/${feed.id}/revoke`, {}))}
          >
            <p>{say('calendar.off_does')}</p>
          </Surely>
        </section>
      ))}
      <NewFeed onMake={(name) => act(ask('/api/calendar-feeds', { name }))} />
    </main>
  );
}

function NewFeed({ onMake }: { onMake: (name: string) => Promise<boolean> }) {
  const name = useSignal('');
  const make = async (event: Event) => {
    event.preventDefault();
    const called = name.value.trim();
    if (called && (await onMake(called))) name.value = '';
  };
  return (
    <form class="stack" onSubmit={make}>
      <h2 class="part-head">{say('calendar.new')}</h2>
      <div class="notice">
        <Sign kind="heed" />
        <p>{say('calendar.danger')}</p>
      </div>
      <Field label={say('calendar.name')} value={name} required />
      <button type="submit" class="tape tape-wide">
        <span class="tape-verb">{say('calendar.make')}</span>
      </button>
    </form>
  );
}
