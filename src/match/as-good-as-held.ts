/** Share of the goal from which a shut gate counts as holding it: no gauge shows half a percent (common practice, no source). */
export const AS_GOOD_AS_HELD = 0.995;
