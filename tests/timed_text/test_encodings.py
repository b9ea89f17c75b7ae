"""Encodings of caption files: what is read is right or not sure, and never wrong and sure. The texts are ours; the encodings are
Python's own codecs."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scriptkit.captions.proofing.losses import would_be_lost
from scriptkit.problems import CannotDo
from scriptkit.timed_text.encodings import SURE, UNSURE, decode
from scriptkit.timed_text.reading import parse_captions

SAID = {
    "fr": "Faites fondre le beurre à feu doux.\nÉmincez l’échalote et ajoutez la crème fraîche.\nLaissez mijoter dix minutes, puis goûtez.",
    "de": "Die Zwiebel schälen und würfeln.\nMit Öl und Butter anschwitzen, dann die süße Sahne dazu.\nGemüsebrühe angießen und fünf Minuten köcheln.",
    "en": "Simmer the fumet at 60 °C for 10 minutes.\nAdd ½ tsp of Piment d’Espelette – “just a little”.\nFinish with crème fraîche.",
    "es": "Añade la cebolla picada y el pimentón.\nCocina durante diez minutos más, ¡con cuidado!\nEl jamón se corta después.",
    "pl": "Pokrój cebulę i zeszklij ją na maśle.\nDodaj śmietanę i łyżkę mąki.\nGotuj przez dziesięć minut, często mieszając.",
    "cs": "Nakrájejte cibuli a opečte ji na másle.\nPřidejte smetanu a lžíci mouky.\nVařte deset minut, často míchejte.",
    "ru": "Нарежьте лук и обжарьте его на масле.\nДобавьте сливки и ложку муки.\nВарите десять минут, часто помешивая.",
    "el": "Ψιλοκόψτε το κρεμμύδι και σοτάρετε στο βούτυρο.\nΠροσθέστε την κρέμα και το αλεύρι.\nΜαγειρέψτε για δέκα λεπτά.",
    "tr": "Soğanı doğrayın ve tereyağında kavurun.\nKremayı ve bir kaşık unu ekleyin.\nOn dakika pişirin, sık sık karıştırın.",
    "he": "קוצצים את הבצל ומטגנים בחמאה.\nמוסיפים שמנת וכף קמח.\nמבשלים עשר דקות.",
    "ar": "قطع البصل واقليه في الزبدة.\nأضف القشدة وملعقة من الدقيق.\nاطبخ لمدة عشر دقائق.",
    "ja": "玉ねぎを切ってバターで炒めます。\n生クリームと小麦粉を加えます。\n十分間煮込みます。",
    "ko": "양파를 썰어 버터에 볶습니다.\n크림과 밀가루를 넣습니다.\n십 분간 끓입니다.",
    "zh": "把洋葱切碎,用黄油炒香。\n加入奶油和一勺面粉。\n煮十分钟。",
}
LEGACY = {
    "fr": "cp1252 latin-1 iso8859-15 mac_roman cp850", "de": "cp1252 mac_roman cp850 iso8859-15 cp1250", "en": "cp1252 mac_roman cp850",
    "es": "cp1252 mac_roman cp850", "pl": "cp1250 iso8859-2 mac_latin2 cp852", "cs": "cp1250 iso8859-2",
    "ru": "cp1251 koi8-r cp866 iso8859-5 mac_cyrillic", "el": "cp1253 iso8859-7", "tr": "cp1254 iso8859-9", "he": "cp1255 iso8859-8",
    "ar": "cp1256 iso8859-6", "ja": "shift_jis euc_jp iso2022_jp cp932", "ko": "cp949 euc_kr", "zh": "gb18030 gbk big5 hz",
}  # fmt: skip
FILES = [(language, name, times) for language, names in LEGACY.items() for name in names.split() for times in (1, 5)]


def captions(language: str, times: int) -> str:
    lines = SAID[language].split("\n") * times
    return "\n".join(f"{n}\n00:00:{n:02d},000 --> 00:00:{n:02d},900\n{line}\n" for n, line in enumerate(lines, 1))


def written(language: str, encoding: str, times: int) -> tuple[bytes, str]:
    """The bytes, without what the encoding has no letter for, and their text."""
    raw = captions(language, times).encode(encoding, errors="ignore")
    return raw, raw.decode(encoding)


@pytest.mark.parametrize(("language", "encoding", "times"), FILES)
def test_what_is_read_for_sure_is_right(language: str, encoding: str, times: int) -> None:
    raw, text = written(language, encoding, times)
    read, told = decode(raw, "cut.srt")
    sure = not any(p.code == UNSURE for p in told)
    kept = read == text or read.encode("utf-8") == raw  # what is ASCII alone is written back as it was
    assert kept or not sure


def test_most_of_them_are_read_for_sure() -> None:
    sure = [decode(written(*file)[0], "cut.srt")[1][:1] for file in FILES]
    assert sum(not told or told[0].code == SURE for told in sure) >= len(FILES) * 0.5


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32"])
@pytest.mark.parametrize("language", SAID)
def test_every_form_of_unicode_is_read(language: str, encoding: str) -> None:
    text = captions(language, 1)
    read, told = decode(text.encode(encoding), "cut.srt")
    assert read == text
    assert [p.code for p in told] == ([] if encoding.startswith("utf-8") else [SURE])


@pytest.mark.parametrize(("language", "encoding", "times"), FILES)
def test_what_the_person_says_it_is_it_is(language: str, encoding: str, times: int) -> None:
    raw, text = written(language, encoding, times)
    assert decode(raw, "cut.srt", encoding) == (text, [])


@pytest.mark.parametrize(
    ("name", "told"), [("klingon", "not an encoding"), ("utf-16", "not utf-16"), ("ascii", "line")]
)
def test_an_encoding_that_is_none_or_does_not_read_it_is_told(name: str, told: str) -> None:
    with pytest.raises(CannotDo) as wrong:
        decode("1\n00:00:01,000 --> 00:00:02,000\nCrème".encode("cp1252"), "cut.srt", name)
    (problem,) = wrong.value.problems
    assert told in f"{problem.message} line {problem.place.line}" and problem.hint


def test_an_unsure_encoding_shows_a_line_by_which_it_can_be_told() -> None:
    raw, _ = written("en", "cp1252", 1)
    (told,) = decode(raw, "cut.srt")[1]
    assert told.code == UNSURE
    assert "“Finish with crème fraîche.” is `--encoding windows-1252`" in told.hint


OFFERED = re.compile(r"“([^”]+(?:”[^”]+)*?)” is `--encoding ([\w-]+)`")


@pytest.mark.parametrize(("language", "encoding", "times"), FILES)
def test_where_it_is_not_sure_the_right_line_is_among_those_offered(language: str, encoding: str, times: int) -> None:
    """And the encoding that is named beside it, copied, reads the whole file as it was written."""
    raw, text = written(language, encoding, times)
    told = [p for p in decode(raw, "cut.srt")[1] if p.code == UNSURE]
    if not told:
        return
    offered = dict(OFFERED.findall(told[0].hint))
    assert 2 <= len(offered) <= 5
    right = [name for line, name in offered.items() if all(part in text for part in line.split(" … "))]
    assert text in [decode(raw, "cut.srt", name)[0] for name in right]
    for name in offered.values():
        assert decode(raw, "cut.srt", name)[1] == []  # each is a name that can be copied


@pytest.mark.parametrize("language", ["en", "fr", "de", "es"])
def test_of_two_readings_the_one_with_no_sign_within_a_word_is_taken(language: str) -> None:
    """As of files of old Macs, in which windows-1252 has signs and capitals for accented letters."""
    raw, text = written(language, "mac_roman", 1)
    assert decode(raw, "cut.srt")[0] == text


def test_a_file_that_is_cut_off_in_a_letter_is_utf8_all_the_same() -> None:
    read, told = decode("Crème brûlée, crème fraîche".encode()[:-1] + b"\xc3", "cut.srt")
    assert read.startswith("Crème brûlée") and told[0].code == SURE


@given(st.binary(max_size=400))
def test_any_bytes_are_read(raw: bytes) -> None:
    text, told = decode(raw, "cut.srt")
    assert isinstance(text, str) and all(p.hint for p in told)


@pytest.mark.parametrize(
    ("target", "named"), [("new.srt", "new.srt"), ("cut.srt", "cut-utf8.srt"), ("", "cut-utf8.srt")]
)
def test_what_is_not_sure_is_never_written_over_the_file_itself(target: str, named: str) -> None:
    text, told = decode(written("en", "cp1252", 1)[0], "cut.srt")
    read = parse_captions(text, "cut.srt", told)
    assert f"--fix {named}`" in would_be_lost(read, target)[0].hint
