"""Subjects by words, on public text that nobody here wrote: the corpus of the chatterbot project.

chatterbot-corpus 1.3.3 (BSD), conversations by topic in many languages; the topic of a file is its
label, which is coarse: a file on food also says “I am a machine”. The words were written down
before the corpus was read, and no limit was chosen by it. Numbers: docs/topics/voices.md.
"""

from pathlib import Path

import pytest
import yaml

from sixwright.topics.voices.comments import fold
from sixwright.topics.voices.subjects import pattern_of

LANGUAGES = (
    "chinese", "dutch", "english", "german", "italian", "japanese", "korean", "persian",
    "portuguese", "russian", "traditionalchinese", "turkish", "ukrainian",
)  # fmt: skip
LEFT_OUT = {("english", "tech_support"), ("english", "trivia"), ("english", "coding")}
WORDS = {
    "food": "food*, eat, eats, eating, drink*, hungry, meal*, cook*, beer, wine, eten, honger, "
    "essen, trink*, hunger*, cibo, mangi*, bev*, birra, vino, fame, 食, 飲, 喝, 吃, ビール, 음식*, "
    "먹*, 마시*, 맥주*, غذا*, خوردن*, نوشیدن*, їж*, їсти, їси, пити, п'єш, пиво, еда, еду, ешь, "
    "пить, yemek*, yiy*, iç*",
    "money": "money, dollar*, stock*, bank*, invest*, market*, econom*, price*, cost*, geld, "
    "beurs, aandel*, soldi, denaro, borsa, azion*, mercat*, お金, 株, 投資, 経済, 金钱, 股票, "
    "股市, 投资, 经济, 錢, 돈*, 주식*, 경제*, 투자*, پول*, سهام*, بورس*, اقتصاد*, гроші, грошей, "
    "акці*, інвест*, економік*, ринк*, деньги, денег, акци*, dinheiro, ações, bolsa, mercado*",
    "sports": "sport*, football, soccer, basketball, baseball, tennis, hockey, volleyball, "
    "cricket, golf, calcio, pallone, voetbal, スポーツ, サッカー, 野球, バスケ, バレー, 足球, "
    "籃球, 篮球, 排球, 運動, 运动, 축구*, 야구*, 농구*, 배구*, 스포츠*, فوتبال*, بسکتبال*, "
    "والیبال*, ورزش*, футбол*, баскетбол*, волейбол*, бейсбол*, fotboll*",
}


def conversations():
    corpus = pytest.importorskip("chatterbot_corpus")
    for path in sorted((Path(corpus.__file__).parent / "data").glob("*/*.yml")):
        language, topic = path.parent.name, path.stem
        if language in LANGUAGES and (language, topic) not in LEFT_OUT:
            read = yaml.load(path.read_text("utf-8"), yaml.CSafeLoader)
            for said in read["conversations"] or ():
                yield topic, fold(" ".join(map(str, said)))


def test_words_find_most_of_their_subject_in_thirteen_languages():
    told = list(conversations())
    found = {}
    for subject, words in WORDS.items():
        pattern = pattern_of(words.split(", "))
        mine = {i for i, (_, text) in enumerate(told) if pattern.search(text)}
        theirs = {i for i, (topic, _) in enumerate(told) if topic == subject}
        both = len(mine & theirs)
        found[subject] = (round(both / len(mine), 2), round(both / len(theirs), 2))
    assert len(told) == 5160
    assert found == {"food": (0.53, 0.63), "money": (0.82, 0.74), "sports": (0.85, 0.75)}
