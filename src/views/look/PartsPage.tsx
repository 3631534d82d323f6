import { BathChip, Card, Sign, Signal, type Tone } from './Parts.tsx';

const TONES: readonly (readonly [Tone, string, string])[] = [
  ['good', 'Covered', 'All is as it should be.'],
  ['now', 'Under way', 'This happens now, or is the next thing to do.'],
  ['warn', 'Look at this', 'It may be right. Somebody should look.'],
  ['bad', 'Short', 'Something is missing, late or unsafe. Act on it first.'],
  ['quiet', 'Not known yet', 'Nothing is claimed.'],
];

const LOOK = { bath: '2K', tint: '#7fd0f0', ink: '#10202a' };

/** Every part of our look, once: what it is for. Part of Help, and pictured in the tests. */
export const PartsPage = () => (
  <div className="parts-page">
    <table className="rows">
      <tbody>
        {TONES.map(([tone, word, meaning]) => (
          <tr key={tone}>
            <th scope="row">
              <Signal tone={tone}>{word}</Signal>
            </th>
            <td className="grows">{meaning}</td>
          </tr>
        ))}
        <tr>
          <th scope="row">
            <BathChip look={LOOK} />
          </th>
          <td className="grows">A bath. Its name is on it: never go by the color alone.</td>
        </tr>
        <tr>
          <th scope="row">
            <button type="button" className="main">
              Start …
            </button>
          </th>
          <td className="grows">The likeliest act. One on each card.</td>
        </tr>
        <tr>
          <th scope="row">
            <button type="button">Other acts …</button>
          </th>
          <td className="grows">Dots: it asks before anything changes.</td>
        </tr>
        <tr>
          <th scope="row">
            <button type="button" className="plainly" title="From what?">
              1,234 <small>L</small>
            </button>
          </th>
          <td className="grows">A number that shows what it was computed from.</td>
        </tr>
        <tr>
          <th scope="row">
            <label className="field">
              Effluent dose, mL/kg/h <input defaultValue="25" />
            </label>
          </th>
          <td className="grows">A field. Its unit is in its name.</td>
        </tr>
      </tbody>
    </table>
    <Card title="A card" about="one question and its answer">
      <p>
        <Sign tone="now" /> Cards stand side by side. The next thing is the largest.
      </p>
    </Card>
    <div className="notice warn">! A notice. It stands below the work and moves nothing above it.</div>
  </div>
);
