//! Reading the weights: every size is checked here, so that nothing after it can fail.

use half::f16;
use safetensors::{Dtype, SafeTensors};

use super::dense::{Dense, Matrix};
use super::{CLASSES, ConvBlock, ModelError, PathWeights, Recurrent, StateWeights, TAPS, WholeWord};

/// Tensors by name.
pub struct Store<'a>(pub SafeTensors<'a>);

impl Store<'_> {
    /// Whether the file holds a tensor of this name.
    pub fn has(&self, name: &str) -> bool {
        self.0.tensor(name).is_ok()
    }

    /// A tensor's numbers. 8-bit numbers are multiplied by the scale of their column (the last axis), which `NAME.scale`
    /// holds.
    ///
    /// # Errors
    /// When there is no such tensor, or its numbers are of a kind that is not read.
    pub fn get(&self, name: &str) -> Result<Vec<f32>, ModelError> {
        Ok(self.as_kept(name)?.into_floats())
    }

    /// A tensor's numbers as the file has them.
    fn as_kept(&self, name: &str) -> Result<Matrix, ModelError> {
        let view = self
            .0
            .tensor(name)
            .map_err(|e| ModelError::Weights(format!("{name}: {e}")))?;
        let data = view.data();
        Ok(match view.dtype() {
            Dtype::F16 => {
                let each = data.chunks_exact(2).map(|b| f16::from_le_bytes([b[0], b[1]]));
                Matrix::Floats(each.map(f16::to_f32).collect())
            }
            Dtype::F32 => {
                let each = data.chunks_exact(4);
                Matrix::Floats(each.map(|b| f32::from_le_bytes([b[0], b[1], b[2], b[3]])).collect())
            }
            Dtype::I8 => Matrix::Bytes {
                numbers: data.iter().map(|b| b.cast_signed()).collect(),
                scale: self.sized(&format!("{name}.scale"), view.shape().last().copied().unwrap_or(1))?,
            },
            other => {
                return Err(ModelError::Weights(format!(
                    "{name}: numbers of kind {other:?}; wanted I8, F16 or F32"
                )));
            }
        })
    }

    /// Numbers of a tensor that must have `size` of them.
    ///
    /// # Errors
    /// As [`Store::get`]; and when there are more or fewer.
    pub fn sized(&self, name: &str, size: usize) -> Result<Vec<f32>, ModelError> {
        Ok(self.matrix(name, size)?.into_floats())
    }

    /// A tensor's numbers as the file has them, where it must have `size` of them.
    fn matrix(&self, name: &str, size: usize) -> Result<Matrix, ModelError> {
        let found = self.as_kept(name)?;
        match found.size() == size {
            true => Ok(found),
            false => Err(ModelError::Weights(format!(
                "{name}: {} numbers; wanted {size}",
                found.size()
            ))),
        }
    }

    /// A layer of weights and a bias for each output.
    ///
    /// # Errors
    /// As [`Store::sized`].
    pub fn dense(&self, weight: &str, bias: &str, inputs: usize, outputs: usize) -> Result<Dense, ModelError> {
        let weight = self.matrix(weight, inputs * outputs)?;
        Ok(Dense::new(weight, self.sized(bias, outputs)?))
    }

    /// A pair of layers' weights and biases stored one after the other: forwards and backwards.
    fn two(
        &self,
        weight: &str,
        bias: &str,
        inputs: usize,
        outputs: usize,
    ) -> Result<[(Matrix, Vec<f32>); 2], ModelError> {
        let mut weight = self.matrix(weight, 2 * inputs * outputs)?;
        let mut bias = self.sized(bias, 2 * outputs)?;
        let second = (weight.split_off(inputs * outputs), bias.split_off(outputs));
        Ok([(weight, bias), second])
    }

    /// The recurrent layer, hearing `width` channels.
    ///
    /// # Errors
    /// As [`Store::sized`].
    pub fn whole_word(&self, width: usize) -> Result<WholeWord, ModelError> {
        let size = self.get("gru.state_bias")?.len() / 6;
        let input = self.two("gru.input", "gru.input_bias", width, 3 * size)?;
        let state = self.two("gru.state", "gru.state_bias", size, 3 * size)?;
        Ok(WholeWord {
            recurrent: Recurrent {
                size,
                input: input.map(|(weight, bias)| Dense::new(weight, bias)),
                state: state.map(|(weight, bias)| StateWeights {
                    weight: weight.into_floats(),
                    bias,
                }),
            },
            join: self.dense("join.weight", "join.bias", 2 * size, width)?,
        })
    }

    /// A block of dilated convolution, `width` channels in and out, `hidden` inside.
    ///
    /// # Errors
    /// As [`Store::sized`].
    pub fn block(&self, name: &str, dilation: usize, width: usize, hidden: usize) -> Result<ConvBlock, ModelError> {
        let name = |part: &str| format!("{name}.{part}");
        Ok(ConvBlock {
            dilation,
            depth: self.sized(&name("depth"), TAPS * width)?,
            depth_bias: self.sized(&name("depth_bias"), width)?,
            gain: self.sized(&name("gain"), width)?,
            offset: self.sized(&name("offset"), width)?,
            up: self.dense(&name("up"), &name("up_bias"), width, hidden)?,
            down: self.dense(&name("down"), &name("down_bias"), hidden, width)?,
        })
    }

    /// One number for each class.
    ///
    /// # Errors
    /// As [`Store::sized`].
    pub fn classes(&self, name: &str) -> Result<[f32; CLASSES], ModelError> {
        let found = self.sized(name, CLASSES)?;
        Ok(std::array::from_fn(|i| found[i]))
    }

    /// The weights of the path through the sounds.
    ///
    /// # Errors
    /// As [`Store::sized`].
    pub fn path(&self) -> Result<PathWeights, ModelError> {
        let log_sigmoid = |x: f32| -(1.0 + (-x).exp()).ln();
        let stay = self.classes("path.stay")?;
        let scale = self.sized("path.scale", 1)?[0];
        Ok(PathWeights {
            stay: stay.map(log_sigmoid),
            leave: stay.map(|x| log_sigmoid(-x)),
            enter: self.classes("path.enter")?,
            scale: (1.0 + scale.exp()).ln(),
            prior: self.classes("path.prior")?,
        })
    }
}
