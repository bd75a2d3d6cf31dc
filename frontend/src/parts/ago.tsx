/** "It was 10 min ago": one touch more, then by fives. Holds for the next tap only. */
import { ago_min, earlier, later } from '../models/ago';
import { shopTime } from '../models/clock';
import { say } from '../words/say';
import { clock } from '../words/times';

export function Ago() {
  const min = ago_min.value;
  if (!min) {
    return (
      <button type="button" class="quiet" onClick={earlier}>
        <span>{say('ago.earlier')}</span>
        <span class="soft">{say('ago.first')}</span>
      </button>
    );
  }
  const at = clock(shopTime() - min * 60_000);
  return (
    <div class="ago" role="group" aria-label={say('ago.earlier')}>
      <button type="button" class="quiet" onClick={later}>
        {say('ago.less')}
      </button>
      <output class="ago-at">{say('ago.at', { min, at })}</output>
      <button type="button" class="quiet" onClick={earlier}>
        {say('ago.more')}
      </button>
    </div>
  );
}
