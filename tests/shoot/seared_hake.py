"""The dish that the tests of the shot list share."""

from __future__ import annotations

SEAR = """
    dish: Hake
    servings: 2
    ingredients:
      hake: {amount: 300 g, prep: fillets}
      olive oil: 2 tbsp
      stock: {amount: 200 ml, food: "fish stock, homemade"}
      salt: to taste
    steps:
      - {id: dry, stage: prep, do: Pat the hake dry., uses: hake, screen: 5 s, sound: mos}
      - {id: sear, stage: cook, do: Sear the hake., add: [olive oil, hake], vessel: frying pan, hands: 4 min, screen: 30 s}
      - {id: pour, stage: cook, do: Pour in the stock and simmer., add: [stock, salt], wait: 5 min, screen: 20 s, sound: sync}
      - {id: whisk, stage: cook, do: Whisk., hands: 1 min, screen: 5 s, irreversible: true}
"""
