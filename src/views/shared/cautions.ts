/** The cautions that go with every number, on screen and on files alike. */
export const CAUTIONS =
  "Computed, not measured. A burst wheel throws metal; knock, heat and a lean mixture destroy engines. The makers' limits, local codes and licensed practice come first, on the dynamometer and on the road.";
