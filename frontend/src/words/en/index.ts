/** English. A language is one folder like this: the app's own words, and a copy of the server's. */
import back from './back';
import bottles from './bottles';
import can from './can';
import check from './check';
import hours from './hours';
import keys from './keys';
import learned from './learned';
import looking from './looking';
import plan from './plan';
import ring from './ring';
import rooms from './rooms';
import said from './said.json';
import sensors from './sensors';
import start from './start';

export default { ...said, ...rooms, ...start, ...looking, ...learned, ...can, ...ring, ...plan, ...back, ...check, ...bottles, ...hours, ...keys, ...sensors };
