namespace Acquire.Sweeps;

// By how much the ramp moves before something is decided, all in codes.
internal sealed partial class SweepFollower
{
    private double Hysteresis => Math.Max(Math.Max(6 * _sigma, 0.01 * Span), Math.Max(HumSwing, 3));

    // Hum goes on from scan to scan: it is no less in a mean, and looks like corners, stands and jumps. So does a ramp's curve, but less.
    private bool Hums => _sigma > 2.5 * _history.Noise.Sigma;

    // A part of it does: enough to move a start that is told from a few deviations, too little to tell it from a curve. Less is the converter's steps.
    private bool Wavers => _sigma > Math.Max(1.5 * _history.Noise.Sigma, LeastDither);

    // A steady hum swings by 2 sqrt 2 of its deviation; a tenth more is no longer hum.
    private double HumSwing => _ripple > 2 * _history.Noise.Sigma ? 3.1 * _ripple : 0;

    // Less evidence will do where there is no more to come; ripple swings by nearly three of its deviations, noise by more.
    private double LateHysteresis => Math.Max(Math.Max((Hums ? 7 : 4) * _sigma, HumSwing), 2);

    // A start is told from a rest by the line through the scans since: more than twice the way, a quarter of the error.
    // While the ends are a guess and the history is full, two per cent of a guess may be more than the history holds.
    private double OnsetHysteresis => Math.Max(Math.Max(16 * _sigma, _scout && _history.Oldest > 0 ? 0 : 0.02 * Span), Math.Max(1.5 * HumSwing, 4));

    // By so much the ramp has left its rest: less than a start is told by, but enough to show it as one in doubt.
    private double DoubtHysteresis => Math.Max(5 * _sigma, 2);
}
