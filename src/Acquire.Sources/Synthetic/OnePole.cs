namespace Acquire.Sources.Synthetic;

/// <summary>One pole of a low-pass filter, exact for an input that runs in straight lines from scan to scan.</summary>
/// <remarks>A plain y += a (x - y) would lag half a scan less than the circuit does.</remarks>
internal sealed class OnePole
{
    private readonly double _keep, _now, _before;
    private double _input = double.NaN, _output;

    /// <summary>Makes the pole.</summary>
    /// <param name="scans">Time constant in scans.</param>
    public OnePole(double scans)
    {
        Scans = scans;
        double h = 1 / scans;
        _keep = PortableMath.Exp(-h);
        double mean = h < 1e-5 ? 1 - (h / 2) : (1 - _keep) / h;
        _now = 1 - mean;
        _before = mean - _keep;
    }

    /// <summary>Time constant in scans.</summary>
    public double Scans { get; }

    /// <summary>Takes the next input and gives the output; the first input finds the filter settled.</summary>
    public double Next(double input)
    {
        _output = double.IsNaN(_input) ? input : (_keep * _output) + (_now * input) + (_before * _input);
        _input = input;
        return _output;
    }
}
