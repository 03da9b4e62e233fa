//! One club group and the settings of the built-in knowledge, give or take: what tests of the causes
//! room start from, within the room and outside it. The numbers are elicited.

use super::model::{Axis, GroupModel, Settings};

/// The mid iron of the built-in knowledge, give or take.
pub(crate) fn mid_iron() -> GroupModel {
    GroupModel {
        radius_m: 1.12,
        plane_deg: 59.7,
        static_loft_deg: 32.0,
        loft_off_deg: -4.5,
        loft_psd: 2.0,
        loft_ssd: 1.3,
        low_point_in: 2.5,
        low_point_psd: 0.9,
        low_point_ssd: 1.1,
        height_bias_mm: -0.1,
        height_psd: 1.1,
        height_ssd: 2.1,
        tail_share: 0.07,
        tail_factor: 5.0,
        swing_deg: -1.9,
        swing_psd: 1.6,
        swing_ssd: 1.6,
        face_deg: 0.3,
        face_psd: 1.2,
        face_ssd: 2.5,
        strike_mm: 0.0,
        strike_psd: 3.0,
        strike_ssd: 8.5,
        strike_up_ssd: 2.0,
        strike_up_usual: 10.4,
        strike_up_band: 5.5,
        speed_mph: 78.0,
        speed_psd: 4.0,
        speed_ssd: 2.0,
        clean_from_mm: 8.0,
        kick_deg: 4.0,
        tee_mm: 0.0,
        low_point_scale: 1.0,
        teed: false,
        playable_offline: 0.115,
        playable_strike_mm: 18.0,
    }
}

pub(crate) fn settings() -> Settings {
    Settings {
        prior_scale: 0.12,
        link_scale: 0.6,
        usual_scale: 0.5,
        reaim: 0.5,
        face_follows: 0.9,
        regulation: (0.62, 0.15),
        radius_to_height: 0.5,
        hub_to_height: 0.3,
        rescue: (0.25, 1.3, 0.25),
        fat_from_mm: 25.4,
        heavy_from_mm: 6.0,
        silence: 0.3,
        denial: 0.8,
        often: (0.9, 0.3),
        p_norm: vec![(Axis::LowPoint, 1.6)],
        floor: 0.5,
    }
}
