import { setBuildField, setCurve, soundSheet } from './doors.ts';

const typed = (text: string, unit: string) => ({ text, unit });

/** One change of the demonstration build each, so that nearly every finding, assumption and problem is said once. */
export const CASES: readonly (readonly [string, ReturnType<typeof setCurve>])[] = [
  ['no room for the shaft', setBuildField('air.altitude', typed('3000', 'm'))],
  ['hot and humid', setBuildField('air.temperature', typed('45', 'degC'))],
  ['read on site', setBuildField('air.barometer.kind', 'read-on-site')],
  ['weather report', setBuildField('air.barometer.kind', 'weather-report')],
  ['no cooler', setBuildField('chargePath.cooler.kind', 'none')],
  ['cold water', setBuildField('chargePath.cooler.kind', 'water')],
  ['limits of temperature', setBuildField('limits.compressorOutletTemperature', typed('120', 'degC'))],
  ['limit of pressure', setBuildField('limits.manifoldPressure', typed('180', 'kPa'))],
  ['limit of power', setBuildField('limits.brakePower', typed('150', 'kW'))],
  ['limit of back-pressure', setBuildField('limits.backPressureRatio', typed('1.1', '1'))],
  ['limit before the turbine', setBuildField('limits.turbineInletTemperature', typed('850', 'degC'))],
  ['small injectors', setBuildField('fuelSupply.injectorFlow', typed('300', 'cc/min'))],
  ['rail too low', setBuildField('fuelSupply.railPressure', typed('1', 'bar'))],
  ['small pump', setBuildField('fuelSupply.pumpFlow', typed('40', 'L/h'))],
  ['gas', setBuildField('engine.fuel', 'natural-gas')],
  ['Diesel fuel', setBuildField('engine.fuel', 'diesel')],
  ['port injection', setBuildField('engine.injection', 'port')],
  ['two-stroke', setBuildField('engine.strokesPerCycle', 2)],
  ['a larger engine', setBuildField('engine.displacement', typed('3.5', 'L'))],
  ['a small engine', setBuildField('engine.displacement', typed('0.9', 'L'))],
  ['bsfc in the wrong unit', setCurve('engine.bsfc', [{ engineSpeed: '2000', value: '90' }])],
  ['past the curves', setBuildField('engineSpeeds.to', typed('8000', 'rpm'))],
  ['goal by pressure', setBuildField('goal.kind', 'manifold-pressure')],
  ['goal by power', setBuildField('goal.kind', 'brake-power')],
  ['goal at the wheels', setBuildField('goal.kind', 'wheel-power')],
  ['inlet blocked', setBuildField('inletPath.loss', typed('60', 'kPa'))],
  ['long exhaust', setBuildField('exhaust.loss', typed('80', 'kPa'))],
  // What cannot be used.
  ['no displacement', setBuildField('engine.displacement', typed('', 'L'))],
  ['not a number', setBuildField('air.temperature', typed('warm', 'degC'))],
  ['too cold', setBuildField('air.temperature', typed('-300', 'degC'))],
  ['too high', setBuildField('air.altitude', typed('30000', 'm'))],
  ['speeds the wrong way', setBuildField('engineSpeeds.from', typed('7000', 'rpm'))],
  ['no step', setBuildField('engineSpeeds.step', typed('0', 'rpm'))],
  ['empty curve', setCurve('engine.lambda', [])],
  ['curve with a hole', setCurve('engine.lambda', [{ engineSpeed: '2000', value: '' }])],
  ['ratio below one', setBuildField('engine.compressionRatio', typed('0.9', '1'))],
  ['humidity over all', setBuildField('air.relativeHumidity', typed('140', '%'))],
];

/** Turbine sheets with one slip each. */
export function turbineSlips() {
  const point = (line: number, at: number, change: object) => {
    const sheet = soundSheet();
    const lines = sheet.lines.map((one, i) =>
      i === line ? { ...one, points: one.points.map((p, j) => (j === at ? { ...p, ...change } : p)) } : one,
    );
    return { ...sheet, lines };
  };
  const flow = soundSheet().lines[1]!.points[3]!.flow;
  return [
    ['sound', soundSheet()],
    ['flow too high', point(1, 3, { flow: flow * 1.06 })],
    ['flow falls', point(1, 3, { flow: flow * 0.8 })],
    ['flow below zero', point(1, 3, { flow: -1 })],
    ['no flow', point(1, 3, { flow: Number.NaN })],
    ['ratio below one', point(0, 2, { expansionRatio: 0.8 })],
    ['ratio far too high', point(0, 2, { expansionRatio: 12 })],
    ['efficiency over one', point(0, 2, { efficiency: 1.4 })],
    ['efficiency in percent', point(0, 2, { efficiency: 71 })],
    ['efficiency high', point(0, 2, { efficiency: 0.95 })],
    ['efficiency low', point(0, 2, { efficiency: 0.1 })],
    ['no lines', { ...soundSheet(), lines: [] }],
  ] as const;
}
