"""What both the network and the pretrained encoder are made of."""

import jax
import jax.numpy as jnp


def normed(x, gain, offset):
    """Layer normalisation over the last axis."""
    x = x - x.mean(-1, keepdims=True)
    return x * jax.lax.rsqrt((x * x).mean(-1, keepdims=True) + 1e-5) * gain + offset


def means(parts):
    """Means of each array of `parts` over its first axis."""
    return jax.tree.map(lambda v: v.mean(0), parts)


def times(x, weight, kind):
    """x @ weight with numbers of `kind` (16 bits on an accelerator), in 32 bits again after it."""
    return jnp.matmul(x.astype(kind), weight.astype(kind), preferred_element_type=jnp.float32)
