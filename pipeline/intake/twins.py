"""Cameras of one make and model, told apart by their serial numbers."""

from collections import defaultdict
from collections.abc import Mapping

from pipeline.values import Probe


def tell_apart(probes: Mapping[str, Probe]) -> dict[str, Probe]:
    """Return the probes (by media id) with the serial number in the device's name, where two cameras share a name.

    A camera that is alone of its make and model keeps its name without a number; so does what gives no number.
    """
    serials: dict[str, set[str]] = defaultdict(set)
    for probe in probes.values():
        if probe.device and probe.serial:
            serials[probe.device].add(probe.serial)
    return {
        media: probe.model_copy(update={"device": f"{probe.device} no. {probe.serial}"})
        if probe.serial and len(serials[probe.device]) > 1
        else probe
        for media, probe in probes.items()
    }
