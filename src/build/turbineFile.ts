import type { TurbineSheet } from '../turbine/types.ts';
import { emptyTurbineSheet } from './defaults.ts';
import type { MapDraft, Problem } from './document.ts';
import { cell, referenceCells } from './draftCells.ts';
import type { TurbineFileSheet } from './schema.ts';

/* A turbine sheet's numbers as tables and as a file: for who opens, saves and makes sheets, not for who computes with one. */

/** A turbine sheet's numbers as the text tables of the Maps view. draftToTurbineSheet of the result gives the same numbers back. */
export function turbineSheetToDraft({ name, source, flow, lines, invented }: TurbineSheet, id: string): MapDraft {
  return {
    ...emptyTurbineSheet(id, name),
    source,
    ...(invented === undefined ? {} : { invented }),
    ...flowCells(flow),
    efficiencyUnit: '1',
    speedLines: lines.map(({ speedRpm, points }) => ({
      speed: cell(speedRpm),
      points: points.map((p) => ({
        flow: cell(p.flow),
        pressureRatio: cell(p.expansionRatio),
        efficiency: cell(p.efficiency),
      })),
    })),
  };
}

function flowCells(flow: TurbineSheet['flow']): Partial<MapDraft> {
  if (flow.kind === 'parameter') return { flowParameter: flow.pressureUnit };
  return { flowUnit: flow.unit, reference: referenceCells(flow.reference) };
}

/** A turbine sheet that was read from a file: `kind` tells it from a compressor map, and fitCapacity takes it as it is. */
export interface ReadTurbineSheet extends TurbineSheet {
  kind: 'turbine';
}

/** The sheet that a file describes, or what is missing in it. */
export function turbineSheetOfFile(file: TurbineFileSheet): ReadTurbineSheet | Problem[] {
  const flow = flowOfFile(file);
  if (Array.isArray(flow)) return flow;
  return {
    kind: 'turbine',
    name: file.name,
    source: file.source,
    flow,
    lines: file.speedLines.map(({ speedRpm, points }) => ({
      ...(speedRpm === undefined ? {} : { speedRpm }),
      points: points.map(({ flow, pressureRatio, efficiency }) => ({
        expansionRatio: pressureRatio,
        flow,
        ...(efficiency === undefined ? {} : { efficiency }),
      })),
    })),
    ...(file.invented === undefined ? {} : { invented: file.invented }),
  };
}

function flowOfFile({ flowParameter, flowUnit, reference }: TurbineFileSheet): TurbineSheet['flow'] | Problem[] {
  if (flowParameter !== undefined) return { kind: 'parameter', pressureUnit: flowParameter };
  if (flowUnit !== undefined && reference !== undefined) return { kind: 'corrected', unit: flowUnit, reference };
  const message = 'This is missing; it must be given, unless the flows are a flow parameter ("flowParameter": "kPa").';
  return [
    ...(flowUnit === undefined ? [{ path: 'flowUnit', message }] : []),
    ...(reference === undefined ? [{ path: 'reference', message }] : []),
  ];
}

/** A turbine sheet as its file holds it, numbers as they stand. */
export function turbineSheetToFile({ name, source, flow, lines, invented }: TurbineSheet): TurbineFileSheet {
  return {
    format: 'lugline-map',
    version: 1,
    kind: 'turbine',
    name,
    source,
    ...(flow.kind === 'parameter'
      ? { flowParameter: flow.pressureUnit }
      : { flowUnit: flow.unit, reference: flow.reference }),
    speedLines: lines.map(({ speedRpm, points }) => ({
      ...(speedRpm === undefined ? {} : { speedRpm }),
      points: points.map(({ expansionRatio, flow: value, efficiency }) => ({
        flow: value,
        pressureRatio: expansionRatio,
        ...(efficiency === undefined ? {} : { efficiency }),
      })),
    })),
    ...(invented === undefined ? {} : { invented }),
  };
}
