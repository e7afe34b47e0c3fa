/*
 * Stands in for d3-color in the built page (vite.config.ts): d3-scale brings it along for scales whose range is colours, and all scales here
 * have numbers as their range. A text is then interpolated as a text, which is what null tells d3-interpolate.
 */
export function color(): null {
  return null;
}

export default color;
export { color as cubehelix, color as hcl, color as hsl, color as lab, color as rgb };
