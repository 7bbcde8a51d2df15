//! Dense layers: rows of inputs times a matrix.
//!
//! A matrix is laid out once, when the weights are read: in panels of neighbouring columns. Where the file has 8-bit numbers, they stay
//! so until they are used. The matrices of both networks together, as 32-bit numbers, are larger than the caches next to the processor:
//! fetching them took as long as multiplying.

use multiversion::multiversion;
use multiversion::target::target_cfg_f;

/// Rows that are worked on together: with [`LANES`] columns their sums fill eight registers of 512 bits, which is as many steps as two
/// units have under way; with [`HALF`] the columns, eight of 256 bits.
const ROWS: usize = 4;
/// Columns that are worked on together.
const LANES: usize = 32;
/// Columns that are worked on together where registers hold 256 bits.
const HALF: usize = LANES / 2;

/// Weights or sums of neighbouring columns.
type Lane = [f32; LANES];
/// One input of each of [`ROWS`] rows.
type Strip = [f32; ROWS];

/// The numbers of a matrix, row by row.
#[derive(Clone, Debug)]
pub enum Matrix {
    /// As they are.
    Floats(Vec<f32>),
    /// 8-bit numbers, each to be multiplied by the scale of its column.
    Bytes {
        /// The numbers.
        numbers: Vec<i8>,
        /// One for each column.
        scale: Vec<f32>,
    },
}

impl Matrix {
    /// How many numbers there are.
    pub fn size(&self) -> usize {
        match self {
            Matrix::Floats(numbers) => numbers.len(),
            Matrix::Bytes { numbers, .. } => numbers.len(),
        }
    }

    /// The numbers, each multiplied by the scale of its column.
    pub fn into_floats(self) -> Vec<f32> {
        match self {
            Matrix::Floats(numbers) => numbers,
            Matrix::Bytes { numbers, scale } => {
                let each = numbers.iter().zip(scale.iter().cycle());
                each.map(|(n, s)| f32::from(*n) * s).collect()
            }
        }
    }

    /// Cuts the rows from the number at `at` on off, and returns them.
    pub fn split_off(&mut self, at: usize) -> Matrix {
        match self {
            Matrix::Floats(numbers) => Matrix::Floats(numbers.split_off(at)),
            Matrix::Bytes { numbers, scale } => Matrix::Bytes {
                numbers: numbers.split_off(at),
                scale: scale.clone(),
            },
        }
    }
}

/// For each [`LANES`] columns, the last ones filled up with zeros, a lane for every input.
enum Panels {
    Floats(Vec<Lane>),
    Bytes {
        numbers: Vec<[i8; LANES]>,
        /// A lane for each panel.
        scale: Vec<Lane>,
    },
}

/// A dense layer.
pub struct Dense {
    inputs: usize,
    panels: Panels,
    bias: Vec<f32>,
}

/// Space that layers work in.
#[derive(Default)]
pub struct DenseSpace {
    strips: Vec<Strip>,
    panel: Vec<Lane>,
}

impl Dense {
    /// `weight` is inputs x outputs; there are as many outputs as there are numbers in `bias`.
    pub fn new(weight: Matrix, bias: Vec<f32>) -> Dense {
        let outputs = bias.len();
        Dense {
            inputs: weight.size() / outputs.max(1),
            panels: match weight {
                Matrix::Bytes { numbers, scale } if scale.len() == outputs => Panels::Bytes {
                    numbers: in_panels(&numbers, outputs),
                    scale: in_panels(&scale, outputs),
                },
                other => Panels::Floats(in_panels(&other.into_floats(), outputs)),
            },
            bias,
        }
    }

    /// How many outputs there are.
    pub fn outputs(&self) -> usize {
        self.bias.len()
    }

    /// `rows` rows of inputs to rows of outputs.
    pub fn apply(&self, input: &[f32], rows: usize, space: &mut DenseSpace, out: &mut Vec<f32>) {
        debug_assert_eq!(input.len(), rows * self.inputs);
        let DenseSpace { strips, panel } = space;
        in_strips(input, self.inputs, strips);
        out.clear();
        out.resize(rows * self.outputs(), 0.0);
        for at in 0..self.outputs().div_ceil(LANES) {
            let these = at * self.inputs..(at + 1) * self.inputs;
            let weights = match &self.panels {
                Panels::Floats(lanes) => &lanes[these],
                Panels::Bytes { numbers, scale } => {
                    scaled(&numbers[these], &scale[at], panel);
                    panel.as_slice()
                }
            };
            let first = at * LANES;
            let bias = &self.bias[first..self.outputs().min(first + LANES)];
            fill(strips, &Columns { weights, first, bias }, self.outputs(), out);
        }
    }
}

/// Rows of `wide` numbers as panels, one after another.
fn in_panels<T: Copy + Default>(rows: &[T], wide: usize) -> Vec<[T; LANES]> {
    let lane = |row: &[T], first: usize| std::array::from_fn(|l| row.get(first + l).copied().unwrap_or_default());
    let firsts = (0..wide).step_by(LANES);
    firsts
        .flat_map(|first| rows.chunks_exact(wide).map(move |row| lane(row, first)))
        .collect()
}

/// The inputs of [`ROWS`] rows side by side, for every such block of rows; rows that are lacking are zeros.
fn in_strips(input: &[f32], inputs: usize, strips: &mut Vec<Strip>) {
    strips.clear();
    let whole = input.chunks_exact(ROWS * inputs);
    let rest = whole.remainder();
    for block in whole {
        let (front, back) = block.split_at(2 * inputs);
        let ((a, b), (c, d)) = (front.split_at(inputs), back.split_at(inputs));
        let side_by_side = a.iter().zip(b).zip(c.iter().zip(d));
        strips.extend(side_by_side.map(|((a, b), (c, d))| [*a, *b, *c, *d]));
    }
    if !rest.is_empty() {
        let at = |row: usize, k: usize| rest.get(row * inputs + k).copied().unwrap_or_default();
        strips.extend((0..inputs).map(|k| std::array::from_fn(|row| at(row, k))));
    }
}

/// The weights of a panel from its 8-bit numbers.
#[multiversion(targets("x86_64+avx512f", "x86_64+avx2"))]
fn scaled(numbers: &[[i8; LANES]], scale: &Lane, out: &mut Vec<Lane>) {
    out.clear();
    out.extend(numbers.iter().map(|numbers| {
        let mut lane = [0.0; LANES];
        for ((to, n), s) in lane.iter_mut().zip(numbers).zip(scale) {
            *to = f32::from(*n) * s;
        }
        lane
    }));
}

/// A panel: its weights, and its columns from the `first` on, as many as there are numbers in `bias`.
struct Columns<'a> {
    weights: &'a [Lane],
    first: usize,
    bias: &'a [f32],
}

/// Puts the sums of all rows into the panel's columns of `out`, whose rows are `outputs` wide.
fn fill(strips: &[Strip], columns: &Columns<'_>, outputs: usize, out: &mut [f32]) {
    if fuses() {
        fill_fused(strips, columns, outputs, out);
    } else {
        fill_plain(strips, columns, outputs, out);
    }
}

/// Whether the processor multiplies and adds in one step; a library does it bit by bit where it does not.
fn fuses() -> bool {
    #[cfg(target_arch = "x86_64")]
    return is_x86_feature_detected!("fma") && is_x86_feature_detected!("avx2");
    #[cfg(not(target_arch = "x86_64"))]
    return cfg!(target_arch = "aarch64");
}

#[multiversion(targets("x86_64+avx512f", "x86_64+avx2+fma"))]
fn fill_fused(strips: &[Strip], columns: &Columns<'_>, outputs: usize, out: &mut [f32]) {
    if target_cfg_f!(target_feature = "avx512f") {
        fill_by::<LANES>(strips, columns, outputs, out, f32::mul_add);
    } else {
        fill_by::<HALF>(strips, columns, outputs, out, f32::mul_add);
    }
}

#[multiversion(targets("x86_64+avx2"))]
fn fill_plain(strips: &[Strip], columns: &Columns<'_>, outputs: usize, out: &mut [f32]) {
    fill_by::<HALF>(strips, columns, outputs, out, |x, w, sum| x * w + sum);
}

/// `WIDE` columns at a time. Every way adds a row's products up in the same order.
#[inline(always)]
fn fill_by<const WIDE: usize>(
    strips: &[Strip],
    columns: &Columns<'_>,
    outputs: usize,
    out: &mut [f32],
    step: impl Fn(f32, f32, f32) -> f32 + Copy,
) {
    let (inputs, filled) = (columns.weights.len(), columns.first..columns.first + columns.bias.len());
    let mut bias = [0.0; LANES];
    bias[..columns.bias.len()].copy_from_slice(columns.bias);
    for (block, strips) in out.chunks_mut(ROWS * outputs).zip(strips.chunks_exact(inputs)) {
        let mut sums = [bias; ROWS];
        for first in (0..columns.bias.len()).step_by(WIDE) {
            add_products::<WIDE>(strips, columns.weights, first, &mut sums, step);
        }
        for (row, sums) in block.chunks_exact_mut(outputs).zip(&sums) {
            row[filled.clone()].copy_from_slice(&sums[..columns.bias.len()]);
        }
    }
}

/// All rows in one loop over the columns, so that the compiler keeps the sums in registers at every level of optimisation.
#[inline(always)]
fn add_products<const WIDE: usize>(
    strips: &[Strip],
    weights: &[Lane],
    first: usize,
    sums: &mut [Lane; ROWS],
    step: impl Fn(f32, f32, f32) -> f32 + Copy,
) {
    let [mut a, mut b, mut c, mut d]: [[f32; WIDE]; ROWS] =
        std::array::from_fn(|row| std::array::from_fn(|l| sums[row][first + l]));
    for (x, w) in strips.iter().zip(weights) {
        let w = &w[first..first + WIDE];
        for l in 0..WIDE {
            a[l] = step(x[0], w[l], a[l]);
            b[l] = step(x[1], w[l], b[l]);
            c[l] = step(x[2], w[l], c[l]);
            d[l] = step(x[3], w[l], d[l]);
        }
    }
    for (sums, found) in sums.iter_mut().zip([a, b, c, d]) {
        sums[first..first + WIDE].copy_from_slice(&found);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_layer_gives_the_sums_of_its_weighed_inputs() {
        let value = |i: usize| ((i * 37 % 101) as f32 - 50.0) / 50.0;
        for (rows, inputs, outputs) in [(0, 3, 2), (1, 1, 1), (5, 7, 16), (6, 4, 17), (8, 9, 33), (13, 33, 80)] {
            let weight: Vec<f32> = (0..inputs * outputs).map(value).collect();
            let bias: Vec<f32> = (0..outputs).map(|i| value(i + 3)).collect();
            let input: Vec<f32> = (0..rows * inputs).map(|i| value(i + 11)).collect();
            let (mut space, mut out) = (DenseSpace::default(), vec![9.0; 3]);
            Dense::new(Matrix::Floats(weight.clone()), bias.clone()).apply(&input, rows, &mut space, &mut out);
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
    fn eight_bit_numbers_give_what_their_products_with_the_scale_give() {
        let (rows, inputs, outputs) = (7, 50, 70);
        let bytes = Matrix::Bytes {
            numbers: (0..inputs * outputs).map(|i| (i * 37 % 255) as u8 as i8).collect(),
            scale: (0..outputs).map(|o| 0.001 * (o + 1) as f32).collect(),
        };
        let floats = Matrix::Floats(bytes.clone().into_floats());
        let input: Vec<f32> = (0..rows * inputs).map(|i| (i % 17) as f32 - 8.0).collect();
        let mut space = DenseSpace::default();
        let [of_bytes, of_floats] = [bytes, floats].map(|weight| {
            let mut out = Vec::new();
            Dense::new(weight, vec![0.25; outputs]).apply(&input, rows, &mut space, &mut out);
            out
        });
        assert_eq!(of_bytes, of_floats);
    }

    #[test]
    fn whatever_the_processor_can_do_it_comes_to_the_same() {
        let strips: Vec<Strip> = (0..50)
            .map(|k| std::array::from_fn(|r| (k as f32 - 20.0) / (r + 3) as f32))
            .collect();
        let weights: Vec<Lane> = (0..50)
            .map(|k| std::array::from_fn(|l| (l as f32 - 7.0) / (k + 1) as f32))
            .collect();
        let (outputs, bias) = (40, [0.5; 20]);
        let columns = Columns {
            weights: &weights,
            first: 10,
            bias: &bias,
        };
        let filled = |fill: fn(&[Strip], &Columns<'_>, usize, &mut [f32])| {
            let mut out = vec![9.0; ROWS * outputs];
            fill(&strips, &columns, outputs, &mut out);
            out
        };
        let (fused, plain) = (filled(fill_fused), filled(fill_plain));
        let by_all = filled(|s, c, n, out| fill_by::<LANES>(s, c, n, out, f32::mul_add));
        let by_halves = filled(|s, c, n, out| fill_by::<HALF>(s, c, n, out, f32::mul_add));
        assert!(by_all == fused && by_halves == fused);
        for (a, b) in fused.iter().zip(&plain) {
            assert!((a - b).abs() < 1e-4 * (1.0 + a.abs()), "{a} {b}");
        }
        assert!(
            plain[..10].iter().chain(&plain[30..40]).all(|x| *x == 9.0),
            "columns beside"
        );
    }
}
