import { Dialog } from '../widgets/index.ts';
import styles from './help.module.css';

export function HelpDialog({ onClose }: { onClose: () => void }) {
  return (
    <Dialog title="Help" size="wide" onClose={onClose}>
      <HelpText />
    </Dialog>
  );
}

/** The in-app help: how to use it, the keys, how the numbers are made, where they end, and the cautions. */
export function HelpText() {
  return (
    <div className={styles.help}>
      <section>
        <h3>In five minutes</h3>
        <ol>
          <li>
            Set the place: altitude, barometer, air temperature and humidity. The pressure at the engine stands beside
            them.
          </li>
          <li>
            Describe the engine: displacement, fuel, and the curves of volumetric efficiency, lambda and fuel
            consumption.
          </li>
          <li>State the goal over engine speed: gauge boost, manifold pressure, or power at crankshaft or wheels.</li>
          <li>
            Choose a map for each candidate. Maps are typed or pasted from a maker's sheet in the Maps view and stay on
            your shelf.
          </li>
          <li>
            On a candidate's card choose its turbine: a sheet, or wheel and housing measurements. Then the boost shown
            is what the exhaust drives. Without it the program works as before and says what it cannot know.
          </li>
          <li>Read the findings, worst first. Choose one and its place is marked on the map and in the table.</li>
          <li>
            In the Altitude view read how far up the goal can be held, which limit binds, and print the table to
            calibrate from.
          </li>
        </ol>
        <p>
          A field keeps what you typed: metric or US units, decimal point or comma. The arrow keys step a number; every
          change is on the map at once and can be undone.
        </p>
      </section>
      <section>
        <h3>Keys</h3>
        <dl className={styles.keys}>
          <Key keys="Ctrl+Z" does="undo" />
          <Key keys="Ctrl+Shift+Z or Ctrl+Y" does="redo" />
          <Key keys="Up, Down" does="step the number in a field" />
          <Key keys="Arrows on the map" does="walk along the operating line; with Shift five times as far" />
          <Key keys="Enter on the map" does="change between the line and any place of the map" />
          <Key keys="+ − 0 on the map" does="zoom in, out, whole map; Alt with arrows moves it" />
          <Key keys="Tab, arrows on a curve" does="choose a point and move it; Enter adds one, Delete removes it" />
          <Key keys="Up, Down in the table" does="walk along the operating line" />
        </dl>
      </section>
      <section>
        <h3>How the numbers are made</h3>
        <p>
          Station pressure comes from the standard atmosphere (ISO 2533) or your barometer; a weather report is turned
          back from sea level to the place. Air is moist, with temperature-dependent properties (NASA polynomials). The
          map is fitted in flow and work coefficients, between the entered lines by similarity, and every answer that
          lies outside them is marked as extended. The turbine is a nozzle fitted to its sheet, or estimated from wheel
          and housing; its power is the exhaust's isentropic drop times its efficiency. At each engine speed the loop of
          air flow, losses, compression, charge cooling and breathing, with a turbine also of back-pressure and turbine
          power, is solved until it closes to one part in a million, or the reason why there is no point is given in
          words.
        </p>
        <dl className={styles.terms}>
          <dt>Speed margin</dt>
          <dd>1 − N/Nmax, N being the physical shaft speed at the day's inlet temperature.</dd>
          <dt>Surge margin</dt>
          <dd>(PR at surge / PR) × (flow / flow at surge) − 1, at constant corrected speed.</dd>
          <dt>Choke margin</dt>
          <dd>1 − flow / flow at the choke end of the same speed line, as drawn on the sheet.</dd>
          <dt>Goal-limited, turbine-limited, ceiling-limited</dt>
          <dd>
            The wastegate holds the goal; the gate is shut and the goal is not reached, the line being what is; or the
            goal is held, but a limit is crossed.
          </dd>
          <dt>Boost threshold</dt>
          <dd>The engine speed from which the exhaust drives the goal.</dd>
          <dt>Back-pressure ratio p3/p_m</dt>
          <dd>
            Pressure before the turbine over that in the manifold. More of it leaves more burnt gas in the cylinders and
            less room for fresh charge: at equal boost the freer turbine gives more power.
          </dd>
          <dt>Wastegate flow fraction</dt>
          <dd>Share of the exhaust past the turbine: how much more the turbine could take.</dd>
          <dt>Ceiling</dt>
          <dd>The highest boost at which every limit entered holds, at one engine speed and place.</dd>
          <dt>Spread</dt>
          <dd>The band that the tolerances of the inputs leave: from the 10th to the 90th of a hundred samples.</dd>
          <dt>Corrected flow, corrected speed</dt>
          <dd>Brought to the reference temperature and pressure of the map's own sheet.</dd>
        </dl>
      </section>
      <section>
        <h3>Where it ends</h3>
        <p>
          It is a steady-state calculation at full load. It does not compute spool-up, knock or heat through the
          housings into the air. The turbine is in steady flow, without pulses; twin scrolls are added up. How much a
          wide-open wastegate passes and variable vanes are not modelled, and the fuel consumption entered does not
          change with back-pressure. The result is as good as the map and the curves that went in: a volumetric
          efficiency 3 % off moves the flow by as much.
        </p>
      </section>
      <section>
        <h3>Cautions</h3>
        <p>
          A compressor wheel that bursts throws metal. Never plan past the maker's maximum shaft speed, keep a reserve
          below it, and check with a shaft-speed sensor. Turbine and exhaust glow under load and stay hot long after:
          shield what is near and keep hands off. Exhaust gas poisons: run an engine only where it is drawn off. Knock,
          exhaust heat and a lean mixture destroy engines: fuel supply, ignition and temperatures must be proven on the
          engine, on a dynamometer, by someone qualified. The makers' limits, local codes and emission and road-traffic
          law come before anything shown here; a modified car may not be used on the road without approval.
        </p>
      </section>
      <section>
        <h3>Your data</h3>
        <p>
          Everything is computed and kept in this browser on this machine. Nothing is sent anywhere. A browser may clear
          what a page has stored, so save a backup file now and then: the storage button at the top says when you last
          did.
        </p>
      </section>
    </div>
  );
}

function Key({ keys, does }: { keys: string; does: string }) {
  return (
    <>
      <dt>
        <kbd>{keys}</kbd>
      </dt>
      <dd>{does}</dd>
    </>
  );
}
