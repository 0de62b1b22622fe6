//! Hazard notes that several calculators show. One that a single calculator shows stands in its file.
//!
//! Short and in our words; what is said is common practice and does not take the place of a safety data sheet. No note
//! says that anything is without danger.

use super::Hazard;
use crate::problem::{Source, memory};

pub(super) const ACIDS_AND_BASES: Hazard = Hazard {
    what: "Strong acids and bases",
    caution: "They corrode skin and eyes and give off heat when diluted. Pour acid into water, never water into acid; \
              goggles, gloves, fume hood.",
};
pub(super) const SODIUM_HYDROXIDE: Hazard = Hazard {
    what: "Sodium hydroxide",
    caution: "Even dilute it attacks eyes and skin, and slippery skin is the first sign. Goggles, gloves; rinse at once.",
};
pub(super) const SOLVENTS: Hazard = Hazard {
    what: "Solvents",
    caution: "Many are flammable and their vapours harmful. Fume hood, no flame or hot plate nearby, closed bottles, \
              gloves that withstand the solvent.",
};
pub(super) const DIMETHYLFORMAMIDE: Hazard = Hazard {
    what: "Dimethylformamide",
    caution: "It may harm an unborn child and passes through skin, and thin nitrile gloves hold it for minutes at most. \
              Fume hood, butyl gloves; change a splashed glove at once.",
};
pub(super) const ACETONITRILE: Hazard = Hazard {
    what: "Acetonitrile",
    caution: "It burns easily and is toxic when breathed in, swallowed or on the skin; thin nitrile gloves do not hold \
              it for long. Fume hood, no hot plate nearby, suitable gloves.",
};
pub(super) const AMINES: Hazard = Hazard {
    what: "Amines and pyridines",
    caution: "They irritate or burn skin, eyes and airways, and many are toxic. Fume hood, gloves, goggles.",
};
pub(super) const IODINE: Hazard = Hazard {
    what: "Iodine",
    caution: "It is corrosive, stains, and its vapour irritates eyes and lungs. Weigh it in a closed vial, and keep \
              vials closed.",
};
pub(super) const DYE_POWDERS: Hazard = Hazard {
    what: "Dye powders",
    caution: "The toxicity of most is little studied; they stain for good and light powders fly. Weigh in a hood, \
              gloves, wipe up wet.",
};
pub(super) const RUTHENIUM_DYES: Hazard = Hazard {
    what: "Ruthenium dyes",
    caution: "Treat them as toxic heavy-metal compounds, and collect baths and rinses as such.",
};
pub(super) const TITANIUM_TETRACHLORIDE: Hazard = Hazard {
    what: "Titanium tetrachloride",
    caution: "It reacts violently with water and moist air and fumes hydrogen chloride. Hood, dry ware; add it drop by \
              drop to ice-cold water or ice, never water to it.",
};
pub(super) const CHLOROPLATINIC_ACID: Hazard = Hazard {
    what: "Chloroplatinic acid",
    caution: "It can make skin and airways allergic for life, and it corrodes. No dust, no spray outside a hood, gloves.",
};
pub(super) const PERCHLORATES: Hazard = Hazard {
    what: "Perchlorates",
    caution: "They oxidise and, dry with anything organic, can explode when heated or ground. Small amounts, no heating \
              to dryness; store apart from solvents.",
};
pub(super) const NANOPOWDERS: Hazard = Hazard {
    what: "Nanopowders and fine powders",
    caution: "They become airborne easily and should not be breathed in. Weigh in an enclosure or a still hood, wet the \
              powder early, wipe up wet.",
};
pub(super) const MIST_AT_PURGE: Hazard = Hazard {
    what: "Mist at purge",
    caution: "Purging and misdirected jets throw fine drops that carry powder and solvent into the air. Cover the waste, \
              extract the air, goggles, gloves.",
};
pub(super) const HEAD_VAPOUR: Hazard = Hazard {
    what: "Solvent vapour at the head",
    caution: "A warm head and wet prints give off vapour that may burn or harm when breathed in. Ventilate, keep sparks \
              and flames away.",
};
pub(super) const ULTRASOUND: Hazard = Hazard {
    what: "Ultrasound",
    caution: "A horn harms hearing, heats what it treats and throws up mist. Ear protection or a closed box, cool the \
              vessel, keep hands away from the running tip.",
};
pub(super) const DRY_FILMS: Hazard = Hazard {
    what: "Nanopowder from dry films and residues",
    caution: "Fine oxide must not be breathed in: keep dry films and residues from becoming airborne, wipe wet, and do \
              not brush, scrape or blow.",
};
pub(super) const HOT_PLATE: Hazard = Hazard {
    what: "Hot plate and furnace",
    caution: "A hot plate at 450 °C to 500 °C burns skin at once, does not look hot and drives off fumes of solvent and \
              binder. Extract them, use tongs and heat-proof gloves, and let substrates cool.",
};
pub(super) const GLASS: Hazard = Hazard {
    what: "Glass",
    caution: "Cutting, scratching and drilling give sharp edges, splinters and fine dust. Wear goggles, drill wet, and \
              collect broken glass apart.",
};
pub(super) const ACETONITRILE_AT_PLATE: Hazard = Hazard {
    what: "Acetonitrile beside a hot plate",
    caution: "Its vapour catches fire from a few degrees Celsius on, and creeps along the bench: contacts, switches and \
              glowing parts of a hot plate light it. Fill and wipe in a fume hood away from the plate, close bottles first, let \
              cells cool; it is toxic when breathed in or on the skin.",
};
/// Of what [`ACETONITRILE_AT_PLATE`] says.
pub(super) const FLASH_POINT: Source = memory(
    "flash point of acetonitrile: near 2 °C from memory; 6 °C read in a handbook of prudent laboratory practices (National \
     Academies), 6 °C open and 12.8 °C closed cup read in its ECHA registration dossier",
);
pub(super) const IODINE_VAPOUR: Hazard = Hazard {
    what: "Iodine vapour",
    caution: "A warmed or evacuated electrolyte gives off iodine: it irritates eyes and lungs, stains and eats metal parts of \
              pump and plate. Fume hood, a cold trap before the pump, gloves.",
};
pub(super) const VACUUM_ON_GLASS: Hazard = Hazard {
    what: "Vacuum on glass",
    caution: "Evacuated glass can implode and throw splinters. Use ware made for vacuum and without scratches, behind a \
              shield or in a net, goggles; let air in slowly.",
};
pub(super) const SEALING_PLATE: Hazard = Hazard {
    what: "Sealing plate",
    caution: "It is hot enough to burn, and so is the glass that leaves it. Use tweezers and let it cool; press evenly, since \
              glass under load cracks.",
};
pub(super) const LAMP: Hazard = Hazard {
    what: "Lamp",
    caution: "A solar simulator glares, gives off ultraviolet light and gets hot. Do not look into the beam; cover skin, \
              wear eye protection, let the lamp cool before touching it.",
};
pub(super) const LEAKING_CELL: Hazard = Hazard {
    what: "Leaking cell",
    caution: "Electrolyte holds iodine and solvent: it stains, irritates and gives off vapour, more so under the warm \
              lamp. Gloves and extraction; take a leaking cell out of the light.",
};
