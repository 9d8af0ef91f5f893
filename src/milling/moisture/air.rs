//! The moisture that air leaves in wood.

/// Air that wood stands in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Degrees Celsius.
    pub temperature: f64,
    /// Relative humidity, 0 to 1.
    pub humidity: f64,
}

impl Air {
    /// The moisture content in percent at which wood comes to rest in this air: equation 4-5 of the handbook, whose
    /// coefficients for degrees Celsius are also given by W. T. Simpson, *Equilibrium moisture content of wood in outdoor
    /// locations*, FPL-RN-0268, 1998. It follows measurements to about half a percent.
    ///
    /// ```
    /// use outwind::milling::moisture::Air;
    ///
    /// let shop = Air { temperature: 20.0, humidity: 0.5 };
    /// assert!((shop.equilibrium() - 9.2711).abs() < 1e-4);
    /// ```
    #[must_use]
    pub fn equilibrium(self) -> f64 {
        let (t, h) = (self.temperature, self.humidity.clamp(0.0, 1.0));
        let w = 349.0 + 1.29 * t + 0.0135 * t * t;
        let k = 0.805 + 0.000_736 * t - 0.000_002_73 * t * t;
        let k1 = 6.27 - 0.009_38 * t - 0.000_303 * t * t;
        let k2 = 1.91 + 0.0407 * t - 0.000_293 * t * t;
        let x = k * h;
        let (once, twice) = (k1 * x, k1 * k2 * x * x);
        1800.0 / w * (x / (1.0 - x) + (once + 2.0 * twice) / (1.0 + once + twice))
    }
}
