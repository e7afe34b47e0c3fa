/** J/(mol K). The value that the NASA polynomials were fitted with (NASA/TP-2002-211556); CODATA 2018 differs by 6 ppm. */
export const UNIVERSAL_GAS_CONSTANT = 8.31451;

/** J/(kg K). Gas constant of dry air to which every map's corrected flow and speed refer. */
export const DRY_AIR_GAS_CONSTANT = 287.05;
