namespace Acquire.Link;

/// <summary>The bytes speak a major version of the link protocol that this decoder does not know.</summary>
public sealed class LinkVersionException : IOException
{
    internal LinkVersionException(int major, int minor)
        : base($"The device speaks link protocol {major}.{minor}; this decoder knows {LinkFrame.Version >> 4}.x. Update this program, or give the device firmware that speaks version {LinkFrame.Version >> 4}.")
    {
        Major = major;
        Minor = minor;
    }

    /// <summary>Major version that the device speaks.</summary>
    public int Major { get; }

    /// <summary>Minor version that the device speaks.</summary>
    public int Minor { get; }
}
