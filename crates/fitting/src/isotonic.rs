//! Isotonic regression: the non-decreasing values nearest to the data in weighted least squares.

/// Non-decreasing fit to `values` with positive `weights`, by pooling adjacent violators
/// (M. Ayer et al., Ann. Math. Statist. 26, 1955). One value per datum, in the same order.
///
/// Data of unequal length are read up to the shorter; a weight that is not positive counts as the
/// smallest positive number.
#[must_use]
pub fn isotonic(values: &[f64], weights: &[f64]) -> Vec<f64> {
    struct Block {
        mean: f64,
        weight: f64,
        count: usize,
    }
    let mut blocks: Vec<Block> = Vec::with_capacity(values.len());
    for (&value, &weight) in values.iter().zip(weights) {
        let mut block = Block {
            mean: value,
            weight: weight.max(f64::MIN_POSITIVE),
            count: 1,
        };
        while let Some(last) = blocks.pop_if(|last| last.mean > block.mean) {
            let weight = last.weight + block.weight;
            block = Block {
                mean: (last.mean * last.weight + block.mean * block.weight) / weight,
                weight,
                count: last.count + block.count,
            };
        }
        blocks.push(block);
    }
    blocks
        .iter()
        .flat_map(|block| std::iter::repeat_n(block.mean, block.count))
        .collect()
}
