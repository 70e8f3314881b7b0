//! How well a mean is known where values that come one after the other are alike.

/// Autocorrelations above this many root(log10(count) / count) are noticed. The rule is that of Politis (Journal of
/// Nonparametric Statistics 15, 2003, 397–419, from memory), who takes 2; 1.5 holds better for weak moods in
/// the study of this crate.
const NOTICED: f64 = 1.5;
/// What was noticed lasts until autocorrelations lie below this part of that limit.
const GONE: f64 = 0.5;
/// So many lags without a noticed autocorrelation end the memory (Politis, as above).
const QUIET_LAGS: usize = 5;
/// Autocorrelations are looked at up to this part of the values (Box and Jenkins, *Time Series Analysis*, section
/// 2.1, from memory).
const LAG_PART: usize = 4;
/// Fewest stretches without a memory of one another that tell how they differ.
const FEWEST_STRETCHES: f64 = 2.5;
/// Variances this small, relative to the squares of the values, are rounding.
const ROUNDING: f64 = 1e-20;

/// What values that come one after the other tell of their mean.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LongRun {
    /// Variance of their mean times their count; their own variance where they are independent.
    pub variance: f64,
    /// Degrees of freedom of `variance`.
    pub freedom: f64,
}

/// Autocovariances at lags 0 to `last` or one less than the count, each a sum of products divided by the
/// count of all values.
#[must_use]
pub fn autocovariances(values: &[f64], last: usize) -> Vec<f64> {
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    (0..values.len().min(last + 1))
        .map(|lag| {
            let products = values.iter().zip(&values[lag..]);
            products.map(|(a, b)| (a - mean) * (b - mean)).sum::<f64>() / count
        })
        .collect()
}

/// The lag after which values tell nothing of one another: the least that five lags follow without an
/// autocorrelation above what chance brings. `None` where a quarter of the values does not reach it. A steady
/// trend is no memory, and neither is taking turns: a negative autocorrelation cancels its neighbours.
#[must_use]
pub fn memory(values: &[f64]) -> Option<usize> {
    let count = values.len() as f64;
    let straightened = without_trend(values);
    let own = *autocovariances(&straightened, 0).first()?;
    let squares = values.iter().map(|value| value * value).sum::<f64>() / count;
    if own <= ROUNDING * squares {
        return Some(0);
    }
    let limit = NOTICED * (count.log10() / count).sqrt();
    match quiet_after(&straightened, own, limit) {
        Some(0) => Some(0),
        _ => quiet_after(&straightened, own, GONE * limit),
    }
}

/// The least lag that five follow without an autocorrelation above `limit`, of values with a mean of 0. Lags are
/// looked at as they are needed: most values forget soon.
fn quiet_after(values: &[f64], own: f64, limit: f64) -> Option<usize> {
    let correlation = |lag: usize| {
        let products = values.iter().zip(values.get(lag..).unwrap_or(&[]));
        products.map(|(a, b)| a * b).sum::<f64>() / (values.len() as f64 * own)
    };
    let (mut before, mut here) = (0.0_f64, correlation(1));
    let mut quiet = 0;
    for lag in 1..=values.len() / LAG_PART + QUIET_LAGS {
        let after = correlation(lag + 1);
        if here + before.min(after).min(0.0) > limit {
            quiet = 0;
        } else {
            quiet += 1;
        }
        if quiet == QUIET_LAGS {
            return Some(lag - QUIET_LAGS);
        }
        (before, here) = (here, after);
    }
    None
}

/// Values less the straight line of least squares through them; their mean is 0.
fn without_trend(values: &[f64]) -> Vec<f64> {
    let middle = (values.len() as f64 - 1.0) / 2.0;
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    let from_middle = |index: usize| index as f64 - middle;
    let squares: f64 = (0..values.len()).map(|i| from_middle(i).powi(2)).sum();
    let products: f64 = values
        .iter()
        .enumerate()
        .map(|(index, value)| from_middle(index) * value)
        .sum();
    let slope = if squares > 0.0 {
        products / squares
    } else {
        0.0
    };
    values
        .iter()
        .enumerate()
        .map(|(index, value)| value - mean - slope * from_middle(index))
        .collect()
}

/// What values that remember `memory` of those before them tell of their mean. Autocovariances are summed with
/// weights of 1 up to that lag, which fall to 0 at twice as much (Politis and Romano, Journal of Time Series
/// Analysis 16, 1995, 67–103). Estimating the mean takes from each of them, which is given back; the degrees of
/// freedom are the count over the sum of squared weights, less one (Priestley, *Spectral Analysis and Time
/// Series*, 1981, section 6.2.4; both from memory). Never below the variance of independent values. `None` where too
/// few stretches are left.
#[must_use]
pub fn long_run(values: &[f64], memory: usize) -> Option<LongRun> {
    let count = values.len() as f64;
    let weight = |lag: usize| {
        if lag == 0 {
            1.0
        } else {
            (2.0 - lag as f64 / memory as f64).clamp(0.0, 1.0)
        }
    };
    let covariances = autocovariances(values, 2 * memory);
    let (mut sum, mut weights, mut squares) = (0.0, 0.0, 0.0);
    for (lag, covariance) in covariances.iter().enumerate() {
        // Lags before and after.
        let both = if lag == 0 { 1.0 } else { 2.0 };
        sum += both * weight(lag) * covariance;
        weights += both * weight(lag);
        squares += both * weight(lag).powi(2);
    }
    let stretches = count / squares;
    if stretches < FEWEST_STRETCHES || weights >= count {
        return None;
    }
    let independent = covariances.first()? * count / (count - 1.0);
    Some(LongRun {
        variance: (sum / (1.0 - weights / count)).max(independent),
        freedom: stretches - 1.0,
    })
}
