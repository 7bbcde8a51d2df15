//! Dense layers: rows of inputs times a matrix.
//!
//! A general multiplication (`ndarray`'s was here before) lays the matrix out anew each time, which took as long as the multiplication
//! for words of fifty to a hundred rows. Here it is laid out once, when the weights are read.

use multiversion::multiversion;

/// Rows that are worked on together: with [`LANES`] columns their sums fill eight of the sixteen registers of AVX2, and as many steps are
/// under way in its two units. With six rows the compiler runs out of registers, which took half as long again.
pub const ROWS: usize = 4;
/// Columns that are worked on together.
const LANES: usize = 16;

/// Weights or sums of neighbouring columns.
type Lane = [f32; LANES];
/// One input of each of [`ROWS`] rows.
type Strip = [f32; ROWS];

/// A dense layer.
pub struct Dense {
    inputs: usize,
    /// For each [`LANES`] columns, the last ones filled up with zeros, a lane for every input.
    panels: Vec<Lane>,
    bias: Vec<f32>,
}

impl Dense {
    /// `weight` is inputs x outputs, row by row; there are as many outputs as there are numbers in `bias`.
    pub fn new(weight: &[f32], bias: Vec<f32>) -> Dense {
        let outputs = bias.len();
        let lane = |row: &[f32], first: usize| -> Lane {
            std::array::from_fn(|l| row.get(first + l).copied().unwrap_or_default())
        };
        let firsts = (0..outputs).step_by(LANES);
        let panels = firsts.flat_map(|first| weight.chunks_exact(outputs).map(move |row| lane(row, first)));
        Dense {
            inputs: weight.len() / outputs.max(1),
            panels: panels.collect(),
            bias,
        }
    }

    /// How many outputs there are.
    pub fn outputs(&self) -> usize {
        self.bias.len()
    }

    /// `rows` rows of inputs to rows of outputs; `strips` is space to work in.
    pub fn apply(&self, input: &[f32], rows: usize, strips: &mut Vec<Strip>, out: &mut Vec<f32>) {
        debug_assert_eq!(input.len(), rows * self.inputs);
        in_strips(input, self.inputs, strips);
        out.clear();
        out.resize(rows * self.outputs(), 0.0);
        let panels = self.panels.chunks_exact(self.inputs).enumerate();
        for (panel, weights) in panels {
            let first = panel * LANES;
            let wide = LANES.min(self.outputs() - first);
            let mut bias = [0.0; LANES];
            bias[..wide].copy_from_slice(&self.bias[first..first + wide]);
            let blocks = out.chunks_mut(ROWS * self.outputs());
            for (block, strips) in blocks.zip(strips.chunks_exact(self.inputs)) {
                let sums = multiply(strips, weights, &bias);
                for (row, sums) in block.chunks_exact_mut(self.outputs()).zip(&sums) {
                    row[first..first + wide].copy_from_slice(&sums[..wide]);
                }
            }
        }
    }
}

/// The inputs of [`ROWS`] rows side by side, for every such block of rows; rows that are lacking are zeros.
fn in_strips(input: &[f32], inputs: usize, strips: &mut Vec<Strip>) {
    strips.clear();
    for block in input.chunks(ROWS * inputs) {
        let at = |row: usize, k: usize| block.get(row * inputs + k).copied().unwrap_or_default();
        strips.extend((0..inputs).map(|k| std::array::from_fn(|row| at(row, k))));
    }
}

/// The sums of a block of rows over all inputs, [`LANES`] columns wide, from `bias` on.
fn multiply(strips: &[Strip], weights: &[Lane], bias: &Lane) -> [Lane; ROWS] {
    let mut sums = [*bias; ROWS];
    if fuses() {
        multiply_fused(strips, weights, &mut sums);
    } else {
        multiply_plain(strips, weights, &mut sums);
    }
    sums
}

/// Whether the processor multiplies and adds in one step; a library does it bit by bit where it does not.
fn fuses() -> bool {
    #[cfg(target_arch = "x86_64")]
    return is_x86_feature_detected!("fma") && is_x86_feature_detected!("avx2");
    #[cfg(not(target_arch = "x86_64"))]
    return cfg!(target_arch = "aarch64");
}

#[multiversion(targets("x86_64+avx2+fma"))]
fn multiply_fused(strips: &[Strip], weights: &[Lane], sums: &mut [Lane; ROWS]) {
    add_products(strips, weights, sums, f32::mul_add);
}

#[multiversion(targets("x86_64+avx2"))]
fn multiply_plain(strips: &[Strip], weights: &[Lane], sums: &mut [Lane; ROWS]) {
    add_products(strips, weights, sums, |x, w, sum| x * w + sum);
}

/// All rows in one loop over the columns, so that the compiler keeps the sums in registers at every level of optimisation.
#[inline(always)]
fn add_products(
    strips: &[Strip],
    weights: &[Lane],
    sums: &mut [Lane; ROWS],
    step: impl Fn(f32, f32, f32) -> f32 + Copy,
) {
    let [mut a, mut b, mut c, mut d] = *sums;
    for (x, w) in strips.iter().zip(weights) {
        for l in 0..LANES {
            a[l] = step(x[0], w[l], a[l]);
            b[l] = step(x[1], w[l], b[l]);
            c[l] = step(x[2], w[l], c[l]);
            d[l] = step(x[3], w[l], d[l]);
        }
    }
    *sums = [a, b, c, d];
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_layer_gives_the_sums_of_its_weighed_inputs() {
        let value = |i: usize| ((i * 37 % 101) as f32 - 50.0) / 50.0;
        for (rows, inputs, outputs) in [(0, 3, 2), (1, 1, 1), (5, 7, 16), (6, 4, 17), (13, 33, 40)] {
            let weight: Vec<f32> = (0..inputs * outputs).map(value).collect();
            let bias: Vec<f32> = (0..outputs).map(|i| value(i + 3)).collect();
            let input: Vec<f32> = (0..rows * inputs).map(|i| value(i + 11)).collect();
            let (mut strips, mut out) = (Vec::new(), vec![9.0; 3]);
            Dense::new(&weight, bias.clone()).apply(&input, rows, &mut strips, &mut out);
            assert_eq!(out.len(), rows * outputs);
            for (i, got) in out.iter().enumerate() {
                let (row, o) = (i / outputs, i % outputs);
                let products = (0..inputs).map(|k| f64::from(input[row * inputs + k] * weight[k * outputs + o]));
                let want = f64::from(bias[o]) + products.sum::<f64>();
                assert!(
                    (f64::from(*got) - want).abs() < 1e-5,
                    "{rows} x {inputs} x {outputs}: {got} {want}"
                );
            }
        }
    }

    #[test]
    fn in_one_step_and_in_two_it_comes_to_the_same() {
        let strips: Vec<Strip> = (0..50)
            .map(|k| std::array::from_fn(|r| (k as f32 - 20.0) / (r + 3) as f32))
            .collect();
        let weights: Vec<Lane> = (0..50)
            .map(|k| std::array::from_fn(|l| (l as f32 - 7.0) / (k + 1) as f32))
            .collect();
        let (mut fused, mut plain) = ([[0.5; LANES]; ROWS], [[0.5; LANES]; ROWS]);
        multiply_fused(&strips, &weights, &mut fused);
        multiply_plain(&strips, &weights, &mut plain);
        for (a, b) in fused.iter().flatten().zip(plain.iter().flatten()) {
            assert!((a - b).abs() < 1e-4 * (1.0 + a.abs()), "{a} {b}");
        }
    }
}
