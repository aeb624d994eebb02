"""On which device speech is heard."""

from enum import StrEnum

from pipeline.errors import RunFault


class Device(StrEnum):
    """What may be asked for: the first GPU that can be used and the processor where there is none, or one of them."""

    AUTO = "auto"
    CPU = "cpu"
    CUDA = "cuda"


def devices_to_try(asked: Device, gpus: int) -> tuple[Device, ...]:
    """List the devices to load the model on; the next is tried where it cannot be loaded on the one before.

    Args:
        asked: what was asked for.
        gpus: how many GPUs the recogniser's engine sees.

    Raises:
        RunFault: a GPU was asked for, and there is none.
    """
    if asked is Device.CUDA and not gpus:
        raise RunFault("There is no GPU here that speech can be heard on. Run again with --device cpu.")
    if asked is Device.AUTO:
        return (Device.CUDA, Device.CPU) if gpus else (Device.CPU,)
    return (asked,)
