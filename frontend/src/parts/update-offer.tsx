/** A newer form of the app is here: one clear button, and every kept tap stays. */
import { newer, takeNewer } from '../sync/worker';
import { say } from '../words/say';

export function UpdateOffer() {
  if (!newer.value) return null;
  return (
    <div class="notice notice-heed update" role="status">
      <p>{say('app.update_why')}</p>
      <button type="button" class="tape" onClick={takeNewer}>
        <span class="tape-verb">{say('app.update')}</span>
      </button>
    </div>
  );
}
