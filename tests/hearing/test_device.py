from pathlib import Path
from typing import Any

import pytest

from pipeline.errors import RunFault
from pipeline.hearing import recogniser
from pipeline.hearing.device import Device, devices_to_try
from pipeline.hearing.recogniser import Recogniser
from pipeline.values import ModelFolder

MODEL = ModelFolder(path=Path("somewhere"), name="mine", sha256="00")


@pytest.fixture
def loaded_on(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Where models are loaded, in place of loading them; the machine has a GPU."""
    devices: list[str] = []

    def load(folder: Path, device: Device, jobs: int) -> object:
        devices.append(device)
        return object()

    monkeypatch.setattr(recogniser, "get_cuda_device_count", lambda: 1)
    monkeypatch.setattr(recogniser, "loaded_model", load)
    return devices


def without_its_libraries(monkeypatch: pytest.MonkeyPatch, devices: list[str]) -> None:
    def load(folder: Path, device: Device, jobs: int) -> Any:
        devices.append(device)
        if device is Device.CUDA:
            raise RuntimeError("a library of the GPU is not found")
        return object()

    monkeypatch.setattr(recogniser, "loaded_model", load)


def test_the_processor_is_used_where_there_is_no_gpu() -> None:
    assert devices_to_try(Device.AUTO, gpus=0) == (Device.CPU,)
    assert devices_to_try(Device.CPU, gpus=2) == (Device.CPU,)


def test_a_gpu_that_is_asked_for_and_not_there_is_told_of_in_one_line() -> None:
    with pytest.raises(RunFault, match=r"^There is no GPU here .*--device cpu\.$"):
        devices_to_try(Device.CUDA, gpus=0)


def test_a_gpu_is_used_where_there_is_one_and_told_of_in_the_settings(loaded_on: list[str]) -> None:
    assert Recogniser(MODEL).settings()["device"] == "cuda"
    assert Recogniser(MODEL, device=Device.CUDA).settings()["device"] == "cuda"
    assert Recogniser(MODEL, device=Device.CPU).settings()["device"] == "cpu"
    assert loaded_on == ["cuda", "cuda", "cpu"]


def test_a_gpu_that_cannot_be_used_gives_way_to_the_processor_unless_it_was_asked_for(
    monkeypatch: pytest.MonkeyPatch, loaded_on: list[str]
) -> None:
    without_its_libraries(monkeypatch, loaded_on)
    assert Recogniser(MODEL).settings()["device"] == "cpu"
    assert loaded_on == ["cuda", "cpu"]
    with pytest.raises(RunFault, match=r"a library of the GPU is not found.*--device cpu"):
        Recogniser(MODEL, device=Device.CUDA)


def test_hearing_is_set_to_the_same_numbers_on_every_device(loaded_on: list[str]) -> None:
    on_gpu, on_cpu = (Recogniser(MODEL, device=device).settings() for device in (Device.CUDA, Device.CPU))
    assert {name for name in on_cpu if on_cpu[name] != on_gpu[name]} == {"device"}
