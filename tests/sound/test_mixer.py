import numpy as np
import pytest

from pourcoach.domain.advice import Word
from pourcoach.sound.mixer import Mixer
from pourcoach.sound.synthesis import RATE_HZ, frequency, motif_samples
from pourcoach.wording.motifs import MOTIFS
from tests.sound.fake_player import loudest_hz

BLOCK = RATE_HZ // 50


def rendered(mixer: Mixer, seconds: float) -> np.ndarray:
    blocks = [mixer.render(BLOCK) for _ in range(round(seconds * RATE_HZ / BLOCK))]
    return np.frombuffer(b"".join(blocks), "<i2") / 32_767


def test_concert_pitch_and_the_octave() -> None:
    """440 Hz by ISO 16, an octave is twice."""
    assert [frequency(0), frequency(12), frequency(-12)] == [440.0, 880.0, 220.0]


@pytest.mark.parametrize("word", Word)
def test_each_tone_of_a_motif_sounds_at_its_time(word: Word) -> None:
    samples = motif_samples(word)
    assert np.max(np.abs(samples)) <= 1.0
    assert abs(samples[0]) < 0.01
    assert abs(samples[-1]) < 0.01
    for semitones, start_s, length_s in MOTIFS[word].tones:
        first = round(start_s * RATE_HZ)
        part = samples[first : first + round(length_s * RATE_HZ)]
        assert loudest_hz(part) == pytest.approx(frequency(semitones), abs=1 / length_s)


def test_motifs_are_short_and_no_two_are_alike() -> None:
    assert set(MOTIFS) == set(Word)
    assert len({motif.tones for motif in MOTIFS.values()}) == len(MOTIFS)
    assert all(tone.start_s + tone.length_s <= 0.6 for m in MOTIFS.values() for tone in m.tones)


def test_nothing_is_heard_until_a_word_is_played_and_after_it() -> None:
    mixer = Mixer(0.5)
    assert not rendered(mixer, 0.2).any()
    mixer.play(motif_samples(Word.STOP))
    heard = rendered(mixer, 0.3)
    assert heard[:BLOCK].any()
    assert np.max(np.abs(heard)) == pytest.approx(0.5, abs=0.05)
    assert not rendered(mixer, 0.1).any()


def test_blocks_of_any_size_give_the_same_motif() -> None:
    one, many = Mixer(0.4), Mixer(0.4)
    for mixer in (one, many):
        mixer.play(motif_samples(Word.POUR))
    whole = one.render(4800)
    assert b"".join(many.render(480) for _ in range(10)) == whole


def test_the_newest_word_takes_the_place_of_the_one_before_without_a_click() -> None:
    mixer = Mixer(1.0)
    mixer.play(motif_samples(Word.DRAIN))
    first = rendered(mixer, 0.06)
    mixer.play(motif_samples(Word.STOP))
    both = np.concatenate([first, rendered(mixer, 0.3)])
    steepest = np.max(np.abs(np.diff(motif_samples(Word.STOP))))
    assert np.max(np.abs(np.diff(both))) < 2 * steepest
    assert loudest_hz(both[round(0.07 * RATE_HZ) : round(0.14 * RATE_HZ)]) > 900


def test_the_pitch_glides_and_falls_silent() -> None:
    mixer = Mixer(1.0)
    mixer.pitch = 0.0
    rendered(mixer, 1.0)
    middle = rendered(mixer, 1.0)
    assert loudest_hz(middle) == pytest.approx(220.0, abs=1.0)
    mixer.pitch = -12.0
    gliding = rendered(mixer, 0.04)
    assert 110.0 < loudest_hz(np.pad(gliding, RATE_HZ)) < 220.0
    rendered(mixer, 1.0)
    assert loudest_hz(rendered(mixer, 1.0)) == pytest.approx(110.0, abs=1.0)
    mixer.pitch = None
    rendered(mixer, 2.0)
    assert not rendered(mixer, 0.5).any()


def test_the_pitch_is_softer_than_a_word() -> None:
    mixer = Mixer(1.0)
    mixer.pitch = 12.0
    rendered(mixer, 1.0)
    assert np.max(np.abs(rendered(mixer, 0.5))) == pytest.approx(0.25, abs=0.01)


def test_a_volume_of_nothing_is_silence_and_a_change_does_not_jump() -> None:
    mixer = Mixer(1.0)
    mixer.pitch = 0.0
    rendered(mixer, 1.0)
    mixer.volume = 0.0
    fading = rendered(mixer, 0.02)
    # No steeper than the pitch itself at full loudness: 2 pi 220 Hz a quarter high.
    assert np.max(np.abs(np.diff(fading))) < 1.2 * 2 * np.pi * 220 * 0.25 / RATE_HZ + 1e-4
    assert not rendered(mixer, 0.5).any()
