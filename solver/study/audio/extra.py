"""What the study of sound needs besides the program, and what to install where it is missing."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

MODEL = "saved_models/icassp_2022/nmp.onnx"  # within the package that ships it
INSTALL = "pip install -e '.[study]', then pip install --no-deps basic-pitch"
_NEEDED = ("librosa", "onnxruntime", "soxr")


def missing() -> str:
    """What is not installed, in words; "" where nothing is missing."""
    names = [name for name in _NEEDED if find_spec(name) is None]
    if model_path() is None:
        names.append("basic-pitch (for its note model)")
    return " and ".join(filter(None, (", ".join(names[:-1]), *names[-1:])))


def model_path() -> Path | None:
    """The note model, found without importing the package around it, which would want tensorflow."""
    spec = find_spec("basic_pitch")
    for folder in (spec.submodule_search_locations or ()) if spec else ():
        path = Path(folder) / MODEL
        if path.is_file():
            return path
    return None
