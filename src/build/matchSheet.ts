/** What stands on the printed match sheet beside the numbers. All of it free text. */
export interface MatchSheet {
  shopName: string;
  car: string;
  customerReference: string;
  /** As it shall stand on the sheet: the program reads no clock into it. */
  dateText: string;
  preparedBy: string;
  remarks: string;
  paper: 'a4' | 'letter';
  /** Whether the shown candidate alone or both that are compared are printed. */
  candidates: 'one' | 'both';
}

/** A part to be had ready; ticked by hand on paper, so that no tick is kept. */
export interface FitmentItem {
  id: string;
  /** 'Turbine inlet gasket' */
  part: string;
  /** Size, number, whatever the shop writes. */
  detail: string;
}

export function emptySheet(): MatchSheet {
  return {
    shopName: '',
    car: '',
    customerReference: '',
    dateText: '',
    preparedBy: '',
    remarks: '',
    paper: 'a4',
    candidates: 'both',
  };
}

/** What a change of turbo usually needs (common practice, no source); a shop adds and removes. */
const USUAL_PARTS = [
  'Gaskets: turbine inlet, turbine outlet, compressor outlet',
  'Studs and nuts',
  'Oil feed line, its restrictor and seals',
  'Oil drain line and gasket',
  'Coolant lines and seals',
  'Inlet coupling and clamps',
  'Charge coupling and clamps',
  'Gate actuator connector and hose',
  'Heat shield',
  'Priming oil and new oil filter',
];

export function usualFitment(): FitmentItem[] {
  return USUAL_PARTS.map((part, i) => ({ id: `usual-${i + 1}`, part, detail: '' }));
}

/** One number of a filed sheet, SI; null with the reason as its key where an engine speed had no point. */
export interface FiledFigure {
  candidateId: string;
  engineSpeedRpm: number;
  key: string;
  value: number | null;
}

/** A sheet as it was filed: only for telling later what has changed. */
export interface FiledSheet {
  programVersion: string;
  dateText: string;
  /** SHA-256 of what was entered. */
  inputs: string;
  figures: readonly FiledFigure[];
}
