//! Coefficients of the method: Rodas, six stages, order 4 with an embedded
//! order 3, L-stable and stiffly accurate, made for equations of index 1.
//!
//! In the form without products of the Jacobian: with `E = M/(h g) - J`,
//! `E k_s = f(y + sum a_sj k_j) + M sum c_sj k_j / h`, the new value is the
//! last stage's plus `k_6`, and `k_6` is the error estimate.
//!
//! # Source
//! Hairer and Wanner, Solving Ordinary Differential Equations II, chapter
//! VI.4, method RODAS; typed from memory. A test beside `system` confirms order 4
//! of states and node voltages alike, which a slip in any digit would break.

/// Stages.
pub(super) const STAGES: usize = 6;

/// The diagonal coefficient g.
pub(super) const GAMMA: f64 = 0.25;

/// What each stage adds of the earlier ones; the last two are the fifth's
/// value plus `k_5`, and plus `k_6`.
pub(super) const A: [[f64; 5]; 5] = [
    [0.0, 0.0, 0.0, 0.0, 0.0],
    [1.544, 0.0, 0.0, 0.0, 0.0],
    [
        0.946_678_528_081_582_6,
        0.255_701_169_898_328_4,
        0.0,
        0.0,
        0.0,
    ],
    [
        3.314_825_187_068_521,
        2.896_124_015_972_201,
        0.998_641_913_997_781_7,
        0.0,
        0.0,
    ],
    [
        1.221_224_509_226_641,
        6.019_134_481_288_629,
        12.537_083_329_320_87,
        -0.687_886_036_105_895,
        0.0,
    ],
];

/// What each stage's right-hand side takes of the earlier ones, over h.
pub(super) const C: [[f64; 5]; STAGES] = [
    [0.0, 0.0, 0.0, 0.0, 0.0],
    [-5.6688, 0.0, 0.0, 0.0, 0.0],
    [
        -2.430_093_356_833_875,
        -0.206_359_915_709_191_5,
        0.0,
        0.0,
        0.0,
    ],
    [
        -0.107_352_905_815_137_5,
        -9.594_562_251_023_355,
        -20.470_286_148_096_16,
        0.0,
        0.0,
    ],
    [
        7.496_443_313_967_647,
        -10.246_804_314_643_52,
        -33.999_903_528_199_05,
        11.708_908_932_061_6,
        0.0,
    ],
    [
        8.083_246_795_921_522,
        -7.981_132_988_064_893,
        -31.521_594_328_743_71,
        16.319_305_431_231_36,
        -6.058_818_238_834_054,
    ],
];

/// Weights of the two terms of the dense output of order 3.
pub(super) const DENSE: [[f64; 5]; 2] = [
    [
        10.126_235_083_445_86,
        -7.487_995_877_610_167,
        -34.800_918_615_557_47,
        -7.992_771_707_568_823,
        1.025_137_723_295_662,
    ],
    [
        -0.676_280_339_280_125_3,
        6.087_714_651_680_015,
        16.430_843_208_924_78,
        24.767_225_114_183_86,
        -6.594_389_125_716_872,
    ],
];

/// Value at the share `s` of a step from `old` to `new` with the two dense terms.
pub(super) fn within(s: f64, old: f64, new: f64, dense: [f64; 2]) -> f64 {
    let rest = 1.0 - s;
    old * rest + s * (new + rest * (dense[0] + s * dense[1]))
}
