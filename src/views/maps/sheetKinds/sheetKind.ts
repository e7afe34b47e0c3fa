import type { ComponentType } from 'react';
import type { DraftFit, MapDraft, MapFitter, SheetKindKey, TurbineDraftFit } from '../../../build/index.ts';
import type { AuditFinding, FlowAndRatio, SheetPlace } from '../../../compressor/index.ts';
import type { MapChart } from '../../../plot/index.ts';
import {
  type FlowParameterUnit,
  flowParameterLabel,
  flowParameterPressures,
  isVolumeFlow,
  type SheetFlowUnit,
  type SheetMassFlowUnit,
  sheetFlowUnits,
  sheetMassFlowKeys,
} from '../../../units/index.ts';
import type { DeskTab, MapEdit } from '../desk.ts';
import type { PasteForm } from '../paste/columns.ts';

/** What is made of the tables, and all there is to say about them. */
export type SheetFit =
  | ({ kind: 'compressor'; findings: readonly AuditFinding[] } & DraftFit)
  | ({ kind: 'turbine' } & TurbineDraftFit);

/** What is drawn of the tables. */
interface SheetDrawing {
  chart: MapChart;
  /** What stands beside the pointer. */
  describe: (at: FlowAndRatio) => string[];
  /** How the fit stands, in one line that is always there: the plot must not move when something is mistyped. */
  strip: { words: string; help: string };
}

/** A part of the desk, and the places of findings that lie in it. */
export interface TabOf {
  key: DeskTab;
  name: string;
  parts: readonly SheetPlace['part'][];
}

/** A kind of sheets as the Maps view has it: another kind is another one of these (and another `SheetKindKey` of the build). */
export interface SheetView {
  key: SheetKindKey;
  /** 'Compressor map'. */
  kind: string;
  /** On the button that adds one: 'New map'. */
  newName: string;
  /** 'Pressure ratio', and where there is no room: 'PR'. */
  ratio: string;
  ratioShort: string;
  /** The ratio is the first column, as where flow is drawn over it. */
  isRatioFirst: boolean;
  /** What its lines are called: 'speed line'. */
  line: string;
  lineList: string;
  unnamedLine: (index: number) => string;
  /** A line may have no speed: its first point is what is typed first. */
  mayLackSpeed: boolean;
  /** Of the points of a line: 'from surge to choke'. */
  order: string;
  pointHint: string;
  tabs: readonly TabOf[];
  /** What a sheet must have before it can be used, and what it may have: told while its tables are empty. */
  needs: { must: readonly { part: SheetPlace['part']; name: string }[]; may: string };
  /** What can be traced on its picture: 'a speed line, the surge line, an island'. */
  traced: string;
  hasIslands: boolean;
  /** What a sheet leaves unsaid can be completed from the rest. */
  isCompleted: boolean;
  /** In which unit the flows are printed. */
  FlowPrinted: ComponentType<{ draft: MapDraft; edit: MapEdit }>;
  /** The short hash of its data; null while something of them is missing. */
  hash: (draft: MapDraft) => string | null;
  /** Fields that say what the numbers of the sheet mean. */
  Meaning: ComponentType<{ draft: MapDraft; edit: MapEdit }>;
  /** Remembered while the tables are the same. */
  fit: (draft: MapDraft, fitter: MapFitter) => SheetFit;
  draw: (draft: MapDraft, fitter: MapFitter, withIslandPoints: boolean) => SheetDrawing;
  paste: PasteForm;
}

/** Unit of the flow column: 'kg/s', or that of a flow parameter. */
export function flowUnitLabel({ flowUnit, flowParameter }: Pick<MapDraft, 'flowUnit' | 'flowParameter'>): string {
  return flowParameter === undefined ? sheetFlowUnits[flowUnit].label : flowParameterLabel(flowParameter);
}

/** Unit of the speed of a line: a sheet of flow parameters has its speeds over the root of the temperature. */
export function speedUnitLabel({ flowParameter }: Pick<MapDraft, 'flowParameter'>): string {
  return flowParameter === undefined ? 'rpm' : 'rpm/√K';
}

/** Plain words for the speed of a line. */
export function speedName({ flowParameter }: Pick<MapDraft, 'flowParameter'>): string {
  return flowParameter === undefined ? 'Corrected speed' : 'Speed over √T03';
}

/** What the flows of a turbine sheet are: corrected flow in a unit of mass flow, or a flow parameter with its unit of pressure. */
type TurbineFlow = SheetMassFlowUnit | FlowParameterUnit;

/** Flow meanings in the order in which they are offered. */
export const turbineFlows: readonly { key: TurbineFlow; name: string }[] = [
  ...sheetMassFlowKeys.map((key) => ({ key, name: sheetFlowUnits[key].label })),
  ...(Object.keys(flowParameterPressures) as FlowParameterUnit[]).map((key) => ({
    key,
    name: flowParameterLabel(key),
  })),
];

/** null: a unit of volume, which no turbine sheet has. */
export function turbineFlowOf({ flowParameter, flowUnit }: MapDraft): TurbineFlow | null {
  return flowParameter ?? (isVolumeFlow(flowUnit) ? null : flowUnit);
}

export function isParameter(flow: SheetFlowUnit | FlowParameterUnit): flow is FlowParameterUnit {
  return flow in flowParameterPressures;
}

/** The sheet or map with the meaning of its flows set; units of volume are a compressor map's alone. */
export function setSheetFlow(draft: MapDraft, flow: SheetFlowUnit | FlowParameterUnit): MapDraft {
  return isParameter(flow) || !isVolumeFlow(flow) ? setTurbineFlow(draft, flow) : { ...draft, flowUnit: flow };
}

/** Says what the numbers of the sheet mean; they stay as typed. The reference state stays for the way back. */
export function setTurbineFlow(draft: MapDraft, flow: TurbineFlow): MapDraft {
  if (isParameter(flow)) return draft.flowParameter === flow ? draft : { ...draft, flowParameter: flow };
  if (draft.flowParameter === undefined && draft.flowUnit === flow) return draft;
  const { flowParameter: _given, ...corrected } = draft;
  return { ...corrected, flowUnit: flow };
}

/** What keeps a sheet from being fitted: '2 errors in the audit below', 'an entry is still needed, named below'; null: nothing of the audit. */
export function inTheWay(findings: readonly AuditFinding[]): string | null {
  const errors = findings.filter(({ severity }) => severity === 'error');
  const wrong = errors.filter(({ isLacking }) => !isLacking).length;
  if (wrong > 0) return `${wrong === 1 ? 'an error' : `${wrong} errors`} in the audit below`;
  if (errors.length === 0) return null;
  return `${errors.length === 1 ? 'an entry is' : `${errors.length} entries are`} still needed, named below`;
}
