import { type Build, type MapDraft, mapsOf, sameContent, withMapsOf } from '../../build/index.ts';

/**
 * A message brings every map as a new object, and the surface of a map is remembered by its object: this puts the objects of earlier
 * messages in place where the content is the same, so that a map is fitted once.
 */
export function rememberMaps(): (build: Build) => Build {
  let known: readonly MapDraft[] = [];
  return (build) => {
    const candidates = build.candidates.map((candidate) =>
      withMapsOf(candidate, (map) => known.find((other) => sameContent(other, map)) ?? map),
    );
    known = candidates.flatMap(mapsOf);
    return { ...build, candidates };
  };
}
