"""Titles out of clip names: common practice, no published source. The names are invented."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.clip_names import clean, emptiness, source_key, stem_of


@pytest.mark.parametrize(
    "name",
    [
        "HARBOUR LIGHTS v3 MSTR.wav",
        "Harbour Lights.L",
        "Harbour Lights.R.wav",
        "HARBOUR LIGHTS-01.WAV",
        "HARBOUR_LIGHTS_STEM_DX.wav",
        "HARBOUR_LIGHTS_DRUMS.wav",
        "Harbour Lights Drums Stem.wav",
        "Harbour Lights (Bass).aif",
        "Harbour Lights [Bass Stem]",
        "Harbour Lights full mix.wav",
        "HARBOUR LIGHTS FULL MIX.wav",
        "Harbour Lights_Final_Mix_02.wav",
        "Harbour Lights MASTER 96k 24bit",
        "Harbour Lights 48k24b.wav",
        "Harbour Lights_LR_4824.wav",
        "HARBOUR LIGHTS STEREO.wav",
        "Harbour Lights 5.1.wav",
        "Harbour Lights_2CH.wav",
        "Harbour Lights_ST.wav",
        "HARBOUR LIGHTS ST MX.WAV",
        "Harbour Lights_tk3",
        "Harbour Lights copy 2",
        "Harbour Lights (2).wav",
        "Harbour Lights (final) v2.wav",
        "Harbour Lights (48 FPS)",
        "Harbour Lights (200.00%)",
        "Harbour Lights.new.01",
        "Harbour Lights.wav.1",
        "Harbour Lights_wav.aif",
        "HARBOUR LIGHTS 120BPM",
        "03 Harbour Lights.mp3",
        "12 - Harbour Lights.mp3",
        "MUS_HARBOUR_LIGHTS.wav",
        "/Volumes/Music/Harbour Lights.wav",
        "C:\\Music\\Harbour Lights.wav",
        "  Harbour   Lights  ",
    ],
)
def test_clean_takes_off_what_the_lab_needs(name):
    assert clean(name) == "Harbour Lights"


@pytest.mark.parametrize(
    "title",
    [
        "Harbour Lights (Instrumental)",
        "Harbour Lights - Live",
        "Route 9",
        "1999",
        "99 Lamps",
        "7 Seconds",
        "-LDY Overture",
        "**Stars**",
        "=Sum of Us",
        "AC/DC Current",
        "Dance Mix",
        "Summer Mix 2",
        "Old Master",
        "The Final",
        "In the Mix",
        "Carbon Copy",
        "Heart Strings",
        "Baker St",
        "Nocturne No.2",
        "Take 5",
        "Version 2",
        "Area 51",
        "Plan R",
        "Apollo-1",
        "Drums",
        "Black Water",
        "v2",
        "_",
        ".wav",
        "海辺の灯",
        "Привет, мир",
        "Ελληνικό φως",
        "أضواء الميناء",
    ],
)
def test_clean_leaves_a_title_alone(title):
    assert clean(title) == title


@pytest.mark.parametrize(
    ("name", "title"),
    [
        ("HARBOUR LIGHTS", "Harbour Lights"),
        ("THE LAST TRAIN TO THE SEA", "The Last Train to the Sea"),
        ("WE DO IT", "We Do It"),
        ("IN THE MIX", "In the Mix"),
        ("SUMMER MIX v2.wav", "Summer Mix"),
        ("HEART_STRINGS", "Heart Strings"),
        ("DON'T LOOK BACK", "Don't Look Back"),
        ("I'M GONE", "I'm Gone"),
        ("O’CLOCK ROCK", "O’Clock Rock"),
        ("L'ÉTÉ EN MARCHE", "L'Été en Marche"),
        ("UH-HUH", "Uh-Huh"),
        ("NIGHT: THE RETURN", "Night: The Return"),
        ("PART II.WAV", "Part II"),
        ("7TH STREET", "7th Street"),
        ("SOS", "SOS"),
        ("2M14 HARBOUR LIGHTS v4", "2M14 Harbour Lights"),
        ("2M_THE SLUICE_v2.wav", "2M The Sluice"),
        ("ПРИВЕТ МИР.wav", "Привет Мир"),
        ("ΟΔΟΣ ΦΩΣ", "Οδος Φως"),
        ("海辺の灯_v2.wav", "海辺の灯"),
    ],
)
def test_clean_writes_capitals_as_a_title(name, title):
    assert clean(name) == title


def test_source_key_is_one_for_spellings_of_a_title():
    names = ["HARBOUR LIGHTS v3 MSTR.wav", "Harbour Lights.L.wav", "harbour_lights-02.aif", "Ｈarbour Lights"]
    assert {source_key(name) for name in names} == {"harbourlights"}


def test_source_key_keeps_accents_and_marks_apart():
    assert source_key("か") != source_key("が")
    assert source_key("Pâte") != source_key("Pate")
    assert source_key("--") == "--"


@pytest.mark.parametrize(
    ("name", "title"),
    [
        ("Harbour Lights - Keys", "Harbour Lights"),
        ("HARBOUR LIGHTS STRINGS 2.wav", "Harbour Lights"),
        ("Heart Strings", "Heart"),
        ("Harbour Lights", ""),
        ("Strings", ""),
        ("- Strings", ""),
    ],
)
def test_stem_of_is_the_title_without_its_instruments(name, title):
    assert stem_of(name) == title


@pytest.mark.parametrize(
    ("reel", "name", "what"),
    [
        ("BL", "", "black"),
        ("bl ", "Harbour Lights", "black"),
        ("BLACK", "", "black"),
        ("AX", "BL", "black"),
        ("AX", "Slug", "black"),
        ("AX", "black_video", "black"),
        ("AX", "Silence", "silence"),
        ("AX", "Digital Silence.wav", "silence"),
        ("AX", "Black Water", ""),
        ("AX", "Black.wav", ""),
        ("BLACK01", "Harbour Lights", ""),
        ("AX", "Silence Falls", ""),
        ("AX", "The Sound of Black", ""),
        ("", "", ""),
    ],
)
def test_emptiness_goes_by_reel_or_whole_name(reel, name, what):
    assert emptiness(reel, name) == what


@given(st.text(max_size=80))
def test_clean_never_fails_and_leaves_something(name):
    title = clean(name)
    assert bool(title) == bool(" ".join(name.split()))
    assert source_key(title) == source_key(clean(title))
