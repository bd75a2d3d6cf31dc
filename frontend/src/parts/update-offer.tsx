/** App and shed of different forms: one clear button, and every kept tap stays. */
import { serverIs } from '../models/form';
import { newer, takeNewer } from '../sync/worker';
import { say } from '../words/say';
import { Sign } from './sign';

export function UpdateOffer() {
  if (serverIs.value === 'older') {
    return (
      <div class="notice notice-heed" role="status">
        <Sign kind="heed" />
        <p>{say('app.older_server')}</p>
      </div>
    );
  }
  if (!newer.value && serverIs.value === 'same') return null;
  return (
    <div class="notice notice-heed update" role="status">
      <p>{say('app.update_why')}</p>
      <button type="button" class="tape" onClick={takeNewer}>
        <span class="tape-verb">{say('app.update')}</span>
      </button>
    </div>
  );
}
