/** The house around the rooms: which address opens which screen, and what stands on every one. */
import { lazy, LocationProvider, Route, Router, useLocation } from 'preact-iso';
import { served } from './models/shop';
import { Alarms } from './parts/alarms';
import { Masthead, Notices } from './parts/masthead';
import { Missing, NoWordYet } from './parts/missing';
import { Nav } from './parts/nav';
import { NumberAsked } from './parts/number-asked';
import { NoticeTaps } from './parts/notice-taps';
import { Undo } from './parts/undo';
import { UpdateOffer } from './parts/update-offer';
import { Can } from './screens/can';
import { GlueClock } from './screens/glue-clock';
import { More } from './screens/more';
import { Now } from './screens/now';
import { Pair } from './screens/pair';
import { Piece } from './screens/piece';
import { Start } from './screens/start';
import { StartCoat } from './screens/start-coat';
import { StartGlueUp } from './screens/start-glue-up';
import { Tag } from './screens/tag';
import { Wait } from './screens/wait';
import { say } from './words/say';

const Air = lazy(() => import('./screens/air'));
const AirNew = lazy(() => import('./screens/air-new'));
const AirPlace = lazy(() => import('./screens/air-place'));
const Back = lazy(() => import('./screens/back'));
const Backups = lazy(() => import('./screens/backups'));
const Bottle = lazy(() => import('./screens/bottle'));
const BottleNew = lazy(() => import('./screens/bottle-new'));
const Bottles = lazy(() => import('./screens/bottles'));
const Broker = lazy(() => import('./screens/broker'));
const CalendarRoom = lazy(() => import('./screens/calendar'));
const CanBatch = lazy(() => import('./screens/can-batch'));
const CautionList = lazy(() => import('./screens/cautions'));
const Clamps = lazy(() => import('./screens/clamps'));
const Doubted = lazy(() => import('./screens/doubted'));
const HoursRoom = lazy(() => import('./screens/hours'));
const Outside = lazy(() => import('./screens/outside'));
const People = lazy(() => import('./screens/people'));
const Phone = lazy(() => import('./screens/phone'));
const Pieces = lazy(() => import('./screens/pieces'));
const PiecesNew = lazy(() => import('./screens/pieces-new'));
const PlanRoom = lazy(() => import('./screens/plan'));
const PlanRoute = lazy(() => import('./screens/plan-route'));
const RingRoom = lazy(() => import('./screens/ring'));
const Sensor = lazy(() => import('./screens/sensor'));
const Sensors = lazy(() => import('./screens/sensors'));
const SettingsRoom = lazy(() => import('./screens/settings'));
const Settle = lazy(() => import('./screens/settle'));
const Setup = lazy(() => import('./screens/setup'));
const StartHold = lazy(() => import('./screens/start-hold'));
const Store = lazy(() => import('./screens/store'));
const Tonight = lazy(() => import('./screens/tonight'));
const Who = lazy(() => import('./screens/who'));

/** To the top of the new screen, for eyes and for those who hear it read. */
function enter(): void {
  scrollTo(0, 0);
  requestAnimationFrame(() => {
    const main = document.getElementById('main');
    if (!main) return;
    main.tabIndex = -1;
    main.focus({ preventScroll: true });
  });
}

export function App() {
  return (
    <LocationProvider>
      <NoticeTaps />
      <a class="skip" href="#main">
        {say('app.skip')}
      </a>
      <div class="house">
        <header>
          <Masthead />
          <UpdateOffer />
          <Notices />
          <Alarms />
          <NumberAsked />
          <Undo at_hand={false} />
        </header>
        <Rooms />
      </div>
      <footer class="foot">
        <Undo at_hand />
        <Nav />
      </footer>
    </LocationProvider>
  );
}

/** Until a phone has heard of a shed it can be paired, and nothing else. */
function Rooms() {
  const { path } = useLocation();
  if (!served.value && !path.startsWith('/pair')) return <NoWordYet />;
  return (
    <Router onRouteChange={enter}>
      <Route path="/pair" component={Pair} />
      <Route path="/pair/:token" component={Pair} />
      <Route path="/" component={Now} />
      <Route path="/now" component={Now} />
      <Route path="/start" component={Start} />
      <Route path="/start/glue-up" component={StartGlueUp} />
      <Route path="/start/coat" component={StartCoat} />
      <Route path="/start/hold" component={StartHold} />
      <Route path="/glue/:id" component={GlueClock} />
      <Route path="/wait/:id" component={Wait} />
      <Route path="/can" component={Can} />
      <Route path="/can/batch/:id" component={CanBatch} />
      <Route path="/piece/:id" component={Piece} />
      <Route path="/tag/:tag" component={Tag} />
      <Route path="/pieces" component={Pieces} />
      <Route path="/pieces/new" component={PiecesNew} />
      <Route path="/air" component={Air} />
      <Route path="/air/new" component={AirNew} />
      <Route path="/air/:id" component={AirPlace} />
      <Route path="/air/:id/sensors" component={Sensors} />
      <Route path="/sensor/:id" component={Sensor} />
      <Route path="/doubted" component={Doubted} />
      <Route path="/broker" component={Broker} />
      <Route path="/back" component={Back} />
      <Route path="/store" component={Store} />
      <Route path="/who" component={Who} />
      <Route path="/plan" component={PlanRoom} />
      <Route path="/plan/route" component={PlanRoute} />
      <Route path="/clamps" component={Clamps} />
      <Route path="/tonight" component={Tonight} />
      <Route path="/bottles" component={Bottles} />
      <Route path="/bottle/new" component={BottleNew} />
      <Route path="/bottle/:id" component={Bottle} />
      <Route path="/cautions" component={CautionList} />
      <Route path="/phone" component={Phone} />
      <Route path="/ring" component={RingRoom} />
      <Route path="/settings" component={SettingsRoom} />
      <Route path="/hours" component={HoursRoom} />
      <Route path="/backups" component={Backups} />
      <Route path="/outside" component={Outside} />
      <Route path="/people" component={People} />
      <Route path="/calendar" component={CalendarRoom} />
      <Route path="/settle/:id" component={Settle} />
      <Route path="/setup" component={Setup} />
      <Route path="/more" component={More} />
      <Route default component={Missing} />
    </Router>
  );
}
