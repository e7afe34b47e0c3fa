import type { ReferenceState } from '../compressor/types.ts';
import type { TurbineSheet } from '../turbine/types.ts';
import type { FlowParameterUnit } from './document.ts';
import type { Problem } from './openFormat.ts';

/**
 * A turbine sheet as it stands in a map file ("kind": "turbine"): the tables of a compressor map's file, `pressureRatio` holding the
 * expansion ratio. Either flow unit and reference state, or the unit of the flow parameter, say what the flows are.
 */
export interface TurbineFileSheet {
  format: 'lugline-map';
  version: 1;
  kind: 'turbine';
  name: string;
  source: string;
  flowUnit?: 'kg/s' | 'lb/min' | undefined;
  reference?: ReferenceState | undefined;
  flowParameter?: FlowParameterUnit | undefined;
  speedLines: readonly {
    speedRpm?: number | undefined;
    points: readonly { flow: number; pressureRatio: number; efficiency?: number | undefined }[];
  }[];
  invented?: boolean | undefined;
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
