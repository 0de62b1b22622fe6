//! What a careful colleague says about a fit.

use super::*;

/// Standard uncertainty of a logarithm above which a parameter is not identified.
const UNSURE: f64 = 0.5;
/// Condition number above which the parameters stand for each other.
const ILL: f64 = 1e4;
/// Fewest points for each parameter.
const FEW: usize = 4;

const DESCRIPTIVE: Source = practice(
    "one diode stands for recombination, and one resistance for all transport, of which a dye cell has several",
);

impl Fitted {
    pub(super) fn checks(&self, given: &Given<'_, f64>) -> Vec<Check> {
        let mut checks = vec![Check::note(
            "descriptive",
            "For dye cells the parameters describe the curve: saturation current and ideality factor are not those of a \
             junction, and the resistances hold diffusion and charge transfer too.",
            DESCRIPTIVE,
        )];
        checks.push(self.signs());
        checks.push(self.left(given));
        checks.push(self.scatter_alike());
        checks.extend(
            Parameter::ALL
                .into_iter()
                .filter_map(|p| self.identified(p, given)),
        );
        checks.push(self.condition());
        checks.extend(self.without_model());
        checks.extend(self.slope());
        checks.push(self.count());
        checks.extend(self.reach(given));
        checks.extend(self.repeated());
        checks.extend(of_areas(given, &AREA));
        checks.extend(self.second_opinion());
        checks
    }

    fn signs(&self) -> Check {
        let rule = derived(
            "the current of an illuminated cell near 0 V is photocurrent; forward current is opposite",
        );
        let sentence = match (self.lit, self.turned) {
            (true, false) => "The current near 0 V is positive: currents were taken as they are.",
            (true, true) => {
                "The current near 0 V is negative: all currents were taken with the opposite sign."
            }
            (false, false) => "The forward current is negative: currents were taken as they are.",
            (false, true) => {
                "The forward current is positive: all currents were taken with the opposite sign."
            }
        };
        Check::in_range("current_sign", sentence, rule)
    }

    fn left(&self, given: &Given<'_, f64>) -> Check {
        let left = self.fit.root_mean_square();
        let largest = self
            .current
            .iter()
            .fold(0.0_f64, |most, i| most.max(i.abs()));
        let (scale, of) = if self.lit {
            (self.fit.diode.photo, "photocurrent")
        } else {
            (largest, "largest current")
        };
        let share = left / scale;
        let sentence = format!(
            "The points miss the curve by {} (root mean square), {} % of the {of}",
            RESIDUAL_CURRENT.say(left * Scale::of(given).current),
            value_text(100.0 * share, 2)
        );
        let rule = practice("a single diode that describes a cell misses it by less than 1 %");
        if share > 0.01 {
            let sentence =
                format!("{sentence}: look at the residuals before using the parameters.");
            Check::warning("residual", sentence, rule)
        } else {
            Check::in_range("residual", format!("{sentence}."), rule)
        }
    }

    /// The maximum power read from the points without the model, beside that of the model.
    fn without_model(&self) -> Option<Check> {
        let sign = if self.turned { -1.0 } else { 1.0 };
        let power = self
            .sweep
            .curve
            .map(|voltage, current| sign * voltage * current);
        let peak = power
            .quartic_peak()
            .or_else(|_| power.parabola_peak())
            .ok()?;
        let modelled = self.figures.power.value;
        let apart = ((peak.y - modelled) / modelled).abs();
        let sentence = format!(
            "The maximum power of the model and that of a polynomial through the points round it are {} % apart",
            value_text(100.0 * apart, 2)
        );
        let rule = practice("methods that read one curve should agree within 1 %");
        (self.lit && apart.is_finite()).then(|| {
            if apart > 0.01 {
                let sentence = format!(
                    "{sentence}: the model misses the curve there, or the points are too coarse."
                );
                Check::warning("methods_differ", sentence, rule)
            } else {
                Check::in_range("methods_differ", format!("{sentence}."), rule)
            }
        })
    }

    /// Whether neighbouring residuals are alike, as they are where the model misses the shape of the curve.
    fn scatter_alike(&self) -> Check {
        let residuals = &self.fit.residuals;
        let count = residuals.len() as f64;
        let squares: f64 = residuals.iter().map(|r| r.squared()).sum();
        let along: f64 = residuals.windows(2).map(|pair| pair[0] * pair[1]).sum();
        let alike = if squares > 0.0 { along / squares } else { 0.0 };
        let shown = format!("correlation of neighbours {}", value_text(alike, 2));
        let rule = derived(
            "without correlation that of neighbours is within 2/√N of zero, 19 times in 20",
        );
        if alike > 2.0 / count.sqrt() {
            Check::note(
                "residuals_not_random",
                format!(
                    "Neighbouring residuals are alike ({shown}): the curve has another shape than the model, and the \
                     uncertainties of the parameters are too small."
                ),
                rule,
            )
        } else {
            Check::in_range(
                "residuals_not_random",
                format!("Neighbouring residuals are not alike ({shown})."),
                rule,
            )
        }
    }

    /// Standard uncertainty of a parameter's logarithm; infinite where it was not fitted or is at its limit.
    fn unsure(&self, parameter: Parameter) -> f64 {
        let place = parameter as usize;
        match self.fit.covariance {
            Some(all) if self.is_fitted(parameter) => all[place][place].sqrt(),
            _ => f64::INFINITY,
        }
    }

    /// What is said of a parameter that the points do not determine.
    fn identified(&self, parameter: Parameter, given: &Given<'_, f64>) -> Option<Check> {
        let (fit, unsure) = (&self.fit, self.unsure(parameter));
        let fixed = matches!(parameter, Parameter::Photo) && !self.lit;
        if fixed || unsure <= UNSURE {
            return None;
        }
        let within = format!(
            "known only within a factor of {}",
            value_text(libm::exp(2.0 * unsure), 2)
        );
        let scale = Scale::of(given).resistance();
        let below = SERIES_RESISTANCE.say(fit.series_below * scale);
        let above = SHUNT_RESISTANCE.say(fit.shunt_above * scale);
        let (code, sentence) = match parameter {
            Parameter::Photo => (
                "photocurrent_not_identified",
                format!("The photocurrent is not identified: it is {within}."),
            ),
            Parameter::Saturation => (
                "saturation_not_identified",
                format!(
                    "The saturation current is not identified: it is {within}, since it lies decades below the measured \
                     currents. With the ideality factor it describes the curve all the same."
                ),
            ),
            Parameter::SlopeVoltage => (
                "ideality_not_identified",
                format!("The ideality factor is not identified: it is {within}."),
            ),
            Parameter::Series => (
                "series_not_identified",
                format!(
                    "The series resistance is not identified: the points only tell that it is smaller than {below}."
                ),
            ),
            Parameter::Shunt => (
                "shunt_not_identified",
                format!(
                    "The shunt resistance is not identified: the points only tell that it is larger than {above}."
                ),
            ),
        };
        let rule = derived(
            "standard uncertainty of the logarithm above 0.5, from the scatter of the points; limits at two standard uncertainties",
        );
        Some(Check::warning(code, sentence, rule))
    }

    fn condition(&self) -> Check {
        let shown = value_text(self.fit.condition, 3);
        let rule = practice("a scaled condition number of some hundreds is usual for this model");
        if self.fit.condition > ILL {
            Check::warning(
                "condition",
                format!(
                    "The scaled condition number is {shown}, above {}: parameters stand for each other, and what the \
                     fit gives for one depends on all others.",
                    value_text(ILL, 2)
                ),
                rule,
            )
        } else {
            Check::in_range(
                "condition",
                format!(
                    "The scaled condition number is {shown}: the points tell the parameters apart."
                ),
                rule,
            )
        }
    }

    fn slope(&self) -> Option<Check> {
        let (slope, series) = (self.figures.slope_at_open.value, self.fit.diode.series);
        (self.lit && self.unsure(Parameter::Series) <= UNSURE).then(|| {
            Check::note(
                "slope_is_not_series",
                format!(
                    "The slope at the open-circuit voltage is {} times the series resistance: it holds the diode too. Do \
                     not take the one for the other.",
                    value_text(slope / series, 3)
                ),
                derived("−dV/dI = Rs + 1/(I0·exp(u/a)/a + 1/Rsh)"),
            )
        })
    }

    fn count(&self) -> Check {
        let points = self.current.len();
        let parameters = points - self.fit.degrees_of_freedom;
        let rule = practice("at least four points for each parameter");
        let sentence = format!("{points} points for {parameters} parameters");
        if points < FEW * parameters {
            let sentence = format!(
                "{sentence}: few. More points would tell more, also about how well the model fits."
            );
            Check::note("few_points", sentence, rule)
        } else {
            Check::in_range("few_points", format!("{sentence}."), rule)
        }
    }

    fn reach(&self, given: &Given<'_, f64>) -> Option<Check> {
        let scale = Scale::of(given).voltage;
        let highest = last(&self.sweep.curve) * scale;
        let open = self.figures.open.value * scale;
        (self.lit && highest < open).then(|| {
            Check::warning(
                "no_point_beyond_open",
                format!(
                    "The points end at {}, before the open-circuit voltage of the fitted curve, {}: what lies beyond them is \
                     extrapolated, and series resistance and ideality factor rest on the bend alone.",
                    VOLTAGE.say(highest),
                    VOLTAGE.say(open)
                ),
                practice("measure beyond the open-circuit voltage"),
            )
        })
    }

    fn repeated(&self) -> Option<Check> {
        let averaged = self.sweep.averaged();
        (averaged > 0).then(|| {
            Check::note(
                "repeated_voltages",
                format!("{averaged} readings share their voltage with others; the means of their currents were fitted, each as one point."),
                practice("average readings at the same voltage"),
            )
        })
    }

    /// Where refits and covariance disagree.
    fn second_opinion(&self) -> Option<Check> {
        let (refits, covariance) = (self.fit.bootstrap?, self.fit.covariance?);
        let ratios = Parameter::ALL.into_iter().filter_map(|p| {
            let place = p as usize;
            let usual = covariance[place][place].sqrt();
            (usual > 0.0 && refits[place] > 0.0).then(|| refits[place] / usual)
        });
        let (least, most) = ratios
            .fold((f64::INFINITY, 0.0), |(least, most): (f64, f64), ratio| {
                (least.min(ratio), most.max(ratio))
            });
        let rule =
            memory("Efron and Tibshirani, 1993; 200 refits give a standard deviation to about 5 %");
        let points = self.current.len();
        let part = if points > REFITTED_POINTS {
            format!(
                " Each refit took {REFITTED_POINTS} of the {points} points; what that adds is taken off."
            )
        } else {
            String::new()
        };
        let shown = format!(
            "By the bootstrap the standard uncertainties of the logarithms are {} to {} times those of the linearised fit",
            value_text(least, 2),
            value_text(most, 2)
        );
        Some(if most > 1.3 || least < 0.7 {
            let sentence = format!(
                "{shown}: the model is too bent within the scatter for the linearised ones to be taken at their word.{part}"
            );
            Check::note("bootstrap", sentence, rule)
        } else {
            Check::in_range("bootstrap", format!("{shown}.{part}"), rule)
        })
    }
}
