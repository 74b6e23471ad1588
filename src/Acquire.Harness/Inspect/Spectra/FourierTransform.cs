namespace Acquire.Harness.Inspect.Spectra;

/// <summary>Discrete Fourier transform of a power-of-two length, in place, radix 2.</summary>
internal sealed class FourierTransform
{
    private readonly double[] _cosines;
    private readonly double[] _sines;

    /// <summary>Prepares the rotation factors.</summary>
    /// <param name="length">A power of two, at least 2.</param>
    /// <exception cref="ArgumentException">Not a power of two.</exception>
    public FourierTransform(int length)
    {
        if (length < 2 || !int.IsPow2(length))
            throw new ArgumentException($"The length is {length}; it must be a power of two of at least 2.", nameof(length));
        Length = length;
        _cosines = new double[length / 2];
        _sines = new double[length / 2];
        for (int i = 0; i < _cosines.Length; i++) (_sines[i], _cosines[i]) = Math.SinCos(-2 * Math.PI * i / length);
    }

    /// <summary>Points.</summary>
    public int Length { get; }

    /// <summary>Transforms: X[k] = sum over n of x[n] exp(-2 pi i k n / Length).</summary>
    /// <param name="real">Real parts, <see cref="Length"/> entries.</param>
    /// <param name="imaginary">Imaginary parts, <see cref="Length"/> entries.</param>
    public void Transform(Span<double> real, Span<double> imaginary)
    {
        int n = Length;
        real = real[..n];
        imaginary = imaginary[..n];
        for (int i = 1, j = 0; i < n; i++)
        {
            int bit = n >> 1;
            for (; (j & bit) != 0; bit >>= 1) j ^= bit;
            j ^= bit;
            if (i >= j) continue;
            (real[i], real[j]) = (real[j], real[i]);
            (imaginary[i], imaginary[j]) = (imaginary[j], imaginary[i]);
        }

        for (int half = 1; half < n; half <<= 1)
        {
            int stride = n / (2 * half);
            for (int start = 0; start < n; start += 2 * half)
            {
                for (int k = 0; k < half; k++)
                {
                    double c = _cosines[k * stride], s = _sines[k * stride];
                    int a = start + k, b = a + half;
                    double re = (real[b] * c) - (imaginary[b] * s), im = (real[b] * s) + (imaginary[b] * c);
                    real[b] = real[a] - re;
                    imaginary[b] = imaginary[a] - im;
                    real[a] += re;
                    imaginary[a] += im;
                }
            }
        }
    }
}
