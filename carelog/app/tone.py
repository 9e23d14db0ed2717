"""The tone with which somebody is called: written here, sample by sample; no sound of anybody else's."""

import io
import wave
from array import array

RATE = 22_050  # samples a second
LOUDEST = 32_767
LOW, HIGH = 520, 660
"""Hz. A square wave of about 520 Hz wakes more sleepers, and older ears, than a high tone (from memory)."""
STEP = 0.4  # s of each tone
PAUSE = 0.5  # s after both


def tone() -> bytes:
    """A low and a high tone and a pause, as loud as samples can be: a WAV file, mono, 16 bits."""
    samples = array("h")
    for frequency in (LOW, HIGH, LOW, HIGH):
        samples.extend(_square(frequency))
    samples.extend([0] * round(PAUSE * RATE))
    made = io.BytesIO()
    with wave.open(made, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes(_little_endian(samples))
    return made.getvalue()


def _square(frequency: int) -> list[int]:
    half = RATE / (2 * frequency)
    return [LOUDEST if int(number / half) % 2 == 0 else -LOUDEST for number in range(round(STEP * RATE))]


def _little_endian(samples: "array[int]") -> bytes:
    return b"".join(sample.to_bytes(2, "little", signed=True) for sample in samples)
