/**
 * The rising values nearest to given ones in least squares: where they fall, neighbours are pooled to their mean (pool adjacent
 * violators; Barlow et al., Statistical Inference under Order Restrictions, 1972, from memory).
 * @param weights above 0, one for each value
 */
export function risingValues(values: readonly number[], weights: readonly number[]): number[] {
  const blocks: { mean: number; weight: number; count: number }[] = [];
  values.forEach((value, i) => {
    let block = { mean: value, weight: weights[i]!, count: 1 };
    for (let before = blocks.at(-1); before !== undefined && before.mean >= block.mean; before = blocks.at(-1)) {
      blocks.pop();
      const weight = before.weight + block.weight;
      const mean = (before.mean * before.weight + block.mean * block.weight) / weight;
      block = { mean, weight, count: before.count + block.count };
    }
    blocks.push(block);
  });
  return blocks.flatMap(({ mean, count }) => Array<number>(count).fill(mean));
}
