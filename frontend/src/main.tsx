import { render } from 'preact';
import { FirstPage } from './screens/first-page';
import { keepWorkingOffline } from './sync/worker';

render(<FirstPage />, document.getElementById('app')!);
void keepWorkingOffline();
