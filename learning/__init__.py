"""How the learnt reading is fitted: marked notes made ready, the model, its fitting, and the packing of the result.

The steps, in order:

    python -m learning.ready READY.json NOTES.jsonl...     (with the program's own environment)
    python -m learning.fit READY.json BASE WEIGHTS          (with PyTorch and transformers, best with a GPU)
    python -m learning.pack WEIGHTS BASE READY.json learnt  (likewise, with onnx and onnxruntime)

BASE is a folder with ``all-mpnet-base-v2`` (config.json, tokenizer.json, model.safetensors), a general language
model whose packages and hashes DEVELOPERS.md names. Nothing of this is needed to run the program.
"""
